"""Saving the curve: a PNG as seen, or an SVG whose lines stay lines."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QPoint, QRect, QSize
from PySide6.QtGui import QImage, QImageWriter, QPainter
from PySide6.QtSvg import QSvgGenerator
from PySide6.QtWidgets import QWidget

from kilnlog.ui.drying_curve.both_plots import BothPlots
from kilnlog.ui.errors import PictureNotSaved

_PNG_SCALE = 2  # sharp on paper
_BETWEEN = 16  # px between plot and key


def save_plots(plots: BothPlots, key: QWidget, to: Path) -> None:
    """Write plots and key side by side; raises ``PictureNotSaved`` where the file cannot be written."""
    size = QSize(plots.width() + key.width() + _BETWEEN, plots.height())
    plots.set_exporting(True)
    try:
        drawn = _svg(plots, key, size) if to.suffix.lower() == ".svg" else _png(plots, key, size)
    finally:
        plots.set_exporting(False)
    try:
        to.write_bytes(drawn)
    except OSError as error:
        raise PictureNotSaved(name=to.name, folder=str(to.parent)) from error


def _png(plots: BothPlots, key: QWidget, size: QSize) -> bytes:
    image = QImage(size * _PNG_SCALE, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(_PNG_SCALE)
    painter = QPainter(image)
    _paint(painter, plots, key, size)
    buffer = _buffer()
    QImageWriter(buffer, QByteArray(b"png")).write(image)
    return bytes(buffer.data().data())


def _svg(plots: BothPlots, key: QWidget, size: QSize) -> bytes:
    buffer = _buffer()
    generator = QSvgGenerator()
    generator.setOutputDevice(buffer)
    generator.setSize(size)
    generator.setViewBox(QRect(QPoint(0, 0), size))
    generator.setTitle("Drying curve")
    generator.setDescription(plots.curve.accessibleDescription())
    _paint(QPainter(generator), plots, key, size)
    return bytes(buffer.data().data())


def _buffer() -> QBuffer:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    return buffer


def _paint(painter: QPainter, plots: BothPlots, key: QWidget, size: QSize) -> None:
    try:
        painter.fillRect(QRect(QPoint(0, 0), size), plots.curve.ground)
        plots.paint_on(painter)
        place = QPoint(plots.width() + _BETWEEN, 0)
        key.render(painter, place, renderFlags=QWidget.RenderFlag.DrawChildren)
    finally:
        painter.end()
