"""The list of all facts a logbook keeps, in the order in which one may refer to another."""

from collections.abc import Mapping
from types import MappingProxyType

from kilnlog.records.air_reading import AirReading
from kilnlog.records.board import Board
from kilnlog.records.breakage import Breakage
from kilnlog.records.charge import Charge
from kilnlog.records.closing import Closing
from kilnlog.records.decision import Decision
from kilnlog.records.defect import Defect
from kilnlog.records.event import Event
from kilnlog.records.final_reading import FinalReading
from kilnlog.records.heat_choice import HeatChoice
from kilnlog.records.instrument import Instrument
from kilnlog.records.kiln import Kiln
from kilnlog.records.later_note import LaterNote
from kilnlog.records.logger_batch import LoggerBatch
from kilnlog.records.lot import Lot
from kilnlog.records.meter_check import MeterCheck
from kilnlog.records.oven_weighing import OvenWeighing
from kilnlog.records.probe_reading import ProbeReading
from kilnlog.records.recut import Recut
from kilnlog.records.schedule_step import ScheduleStep
from kilnlog.records.section import Section
from kilnlog.records.set_point import SetPoint
from kilnlog.records.setting import Setting
from kilnlog.records.stay import Stay
from kilnlog.records.step_answer import StepAnswer
from kilnlog.records.step_taken import StepTaken
from kilnlog.records.stress_test import StressTest
from kilnlog.records.tally_line import TallyLine
from kilnlog.records.weighing import Weighing
from kilnlog.records.withdrawal import Withdrawal

Fact = (
    Setting
    | Kiln
    | Instrument
    | ScheduleStep
    | Charge
    | Stay
    | Lot
    | Board
    | Section
    | OvenWeighing
    | Weighing
    | Recut
    | Breakage
    | Withdrawal
    | Event
    | StepTaken
    | Decision
    | AirReading
    | SetPoint
    | MeterCheck
    | LoggerBatch
    | FinalReading
    | StressTest
    | Defect
    | TallyLine
    | ProbeReading
    | HeatChoice
    | StepAnswer
    | LaterNote
    | Closing
)

#: Table name in the logbook file -> the class of its facts.
TABLES: Mapping[str, type[Fact]] = MappingProxyType(
    {
        "setting": Setting,
        "kiln": Kiln,
        "instrument": Instrument,
        "schedule_step": ScheduleStep,
        "charge": Charge,
        "stay": Stay,
        "lot": Lot,
        "board": Board,
        "section": Section,
        "oven_weighing": OvenWeighing,
        "weighing": Weighing,
        "recut": Recut,
        "breakage": Breakage,
        "withdrawal": Withdrawal,
        "event": Event,
        "step_taken": StepTaken,
        "decision": Decision,
        "air_reading": AirReading,
        "set_point": SetPoint,
        "meter_check": MeterCheck,
        "logger_batch": LoggerBatch,
        "final_reading": FinalReading,
        "stress_test": StressTest,
        "defect": Defect,
        "tally_line": TallyLine,
        "probe_reading": ProbeReading,
        "heat_choice": HeatChoice,
        "step_answer": StepAnswer,
        "later_note": LaterNote,
        "closing": Closing,
    }
)

TABLE_OF: Mapping[type[Fact], str] = MappingProxyType({kind: name for name, kind in TABLES.items()})
