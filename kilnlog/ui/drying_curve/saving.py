"""Saving the curve: a PNG as seen, or an SVG whose lines stay lines."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QPoint, QRect, QRectF, QSize
from PySide6.QtGui import QImage, QPainter
from PySide6.QtSvg import QSvgGenerator
from PySide6.QtWidgets import QWidget

from kilnlog.records.errors import KilnlogError
from kilnlog.ui.drying_curve.plot import CurvePlot
from kilnlog.ui.errors import PictureNotSaved

_PNG_SCALE = 2  # sharp on paper


def save_plot(plot: CurvePlot, key: QWidget, to: Path) -> None:
    """Write plot and key side by side; raises ``PictureNotSaved`` where the file cannot be written."""
    size = QSize(plot.width() + key.width() + 16, plot.height())
    plot.set_exporting(True)
    try:
        if to.suffix.lower() == ".svg":
            _save_svg(plot, key, to, size)
        else:
            _save_png(plot, key, to, size)
    finally:
        plot.set_exporting(False)


def _save_png(plot: CurvePlot, key: QWidget, to: Path, size: QSize) -> None:
    image = QImage(size * _PNG_SCALE, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(_PNG_SCALE)
    painter = QPainter(image)
    try:
        _paint(painter, plot, key, size)
    finally:
        painter.end()
    if not image.save(str(to)):
        raise _not_saved(to)


def _save_svg(plot: CurvePlot, key: QWidget, to: Path, size: QSize) -> None:
    generator = QSvgGenerator()
    generator.setFileName(str(to))
    generator.setSize(size)
    generator.setViewBox(QRect(QPoint(0, 0), size))
    generator.setTitle("Drying curve")
    generator.setDescription(plot.accessibleDescription())
    painter = QPainter()
    if not painter.begin(generator):
        raise _not_saved(to)
    try:
        _paint(painter, plot, key, size)
    finally:
        painter.end()


def _paint(painter: QPainter, plot: CurvePlot, key: QWidget, size: QSize) -> None:
    painter.fillRect(QRect(QPoint(0, 0), size), plot.ground)
    plot.render(painter, QRectF(plot.rect()))
    key.render(painter, QPoint(plot.width() + 16, 0), renderFlags=QWidget.RenderFlag.DrawChildren)


def _not_saved(to: Path) -> KilnlogError:
    return PictureNotSaved(name=to.name, folder=str(to.parent))
