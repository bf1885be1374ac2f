"""The tables of the sample logbook as they are written: columns, order, and the door that checks them."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from io import StringIO
from uuid import NAMESPACE_URL, uuid5

#: The files' columns in the order written; every row may leave any of them empty.
COLUMNS: Mapping[str, tuple[str, ...]] = {
    name: tuple(columns.split())
    for name, columns in {
        "settings": "setting value",
        "kilns": "kiln heat air_control capacity capacity_unit altitude_m exhaust_m3_per_h entering_sensor"
        " leaving_sensor temperature_unit",
        "instruments": "instrument kind division unit checked_at check_result observed_at uid supersedes"
        " version",
        "schedule_steps": "schedule step from_mc_pct to_mc_pct from_hours dry_bulb wet_bulb depression rh_pct"
        " emc_pct temperature_unit",
        "charges": "charge kiln loaded_at zone target_mc_pct control_rule schedule unloaded_at closed_at"
        " closing_reason notes",
        "stays": "charge kiln in_at out_at",
        "lots": "charge lot owner species thickness volume volume_unit target_mc_pct mc_low_pct mc_high_pct"
        " limits_from safe_rate_pct_per_day basic_specific_gravity governs out_at",
        "boards": "charge board lot cut_at start_weight weight_unit coating_weight oven_dry_weight cut_from"
        " wood sawn coated minutes_to_weighing position replaces scale_division notes",
        "sections": "charge board section taken_at wet_weight oven_dry_weight dried_at method"
        " oven_temperature temperature_unit weight_unit scale_division rejected_because",
        "oven_weighings": "charge board section weighed_at weight weight_unit",
        "weighings": "charge board weighed_at weight weight_unit entered_late_from uid supersedes version"
        " reason entered_at entered_by",
        "recuts": "charge board cut_at weight_before section_wet section_oven_dry dried_at weight_after"
        " coating_weight weight_unit",
        "breaks": "charge board at weight_before weight_after weight_unit reason",
        "withdrawals": "charge board at reason",
        "events": "charge at kind state value unit note",
        "steps_taken": "charge at step reason",
        "decisions": "charge at code subject note",
        "air": "charge read_at sensor dry_bulb wet_bulb depression rh_pct temperature_unit",
        "set_points": "charge set_at dry_bulb wet_bulb depression rh_pct temperature_unit",
        "meter_checks": "charge board read_at instrument reading_pct wood_temperature temperature_unit"
        " corrected_pct",
        "logger_batches": "charge sensor file_name file_sha256 clock temperature_unit second rows first_at"
        " last_at digest placed_in uid version",
        "logger_readings": "batch day readings",
        "final_readings": "charge lot pack piece read_at kind instrument depth species_setting reading_pct"
        " wood_temperature calibration_temperature temperature_unit temperature_rule"
        " temperature_correction_pct species_correction_pct wet_weight oven_dry_weight weight_unit note",
        "stress_tests": "charge lot piece kind found value core_value unit limit hours_waited note"
        " observed_at",
        "defects": "charge lot kind severity pieces volume volume_unit note observed_at",
        "tally": "charge lot class thickness width width_unit length length_unit pieces when volume"
        " volume_unit note observed_at",
        "probes": "charge read_at probe placed_in temperature temperature_unit",
        "heat_choices": "charge at_least temperature_unit for_minutes limits_from agency agreement note"
        " observed_at",
        "step_answers": "charge step answer lot note observed_at",
        "later_notes": "charge written_at lot text",
        "closings": "charge lot closed_at closing_reason reopened uid supersedes version reason",
    }.items()
}

Row = dict[str, str]


class Tables:
    """Rows by table, in the order they were written."""

    def __init__(self) -> None:
        self.rows: dict[str, list[Row]] = {name: [] for name in COLUMNS}

    def add(self, table: str, **values: str) -> Row:
        """Write one row; a column the table does not have is a mistake of ours."""
        unknown = set(values) - set(COLUMNS[table])
        if unknown:
            raise KeyError(f"{table} has no {sorted(unknown)}")
        self.rows[table].append(values)
        return values

    def in_order_of_time(self, table: str, since: int) -> None:
        """Put the rows of a table written after the first ``since`` into the order things happened."""
        self.rows[table][since:] = sorted(self.rows[table][since:], key=lambda row: row["at"])

    def text(self, table: str) -> str:
        """The table as CSV."""
        written = StringIO()
        sheet = csv.DictWriter(written, COLUMNS[table], restval="", lineterminator="\n")
        sheet.writeheader()
        sheet.writerows(self.rows[table])
        return written.getvalue()


def uid_for(*words: str) -> str:
    """A uid that comes out the same at every build."""
    return str(uuid5(NAMESPACE_URL, "kilnlog sample " + " ".join(words)))


def number(value: float) -> str:
    """A number as a person writes it."""
    return f"{value:g}"
