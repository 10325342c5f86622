"""Printed matter: one Typst template and one function each; takes plain data, returns PDF bytes."""

from tallboy.paper.day import AirNow, DayPromise, DaySheet, DayStep, DayWait, day_sheet
from tallboy.paper.pictures import Drawing, Photo
from tallboy.paper.press import PAPERS
from tallboy.paper.put_back import PUT_BACK_ROOM, PutBack, PutBackList, put_back_list
from tallboy.paper.sheets import SHEETS, Sheet
from tallboy.paper.tags import Tag, tags
from tallboy.paper.take_down import RECORD_ROOM, SpotTest, TakeDownRecord, TakenOff, take_down_record

__all__ = [
    "PAPERS",
    "PUT_BACK_ROOM",
    "RECORD_ROOM",
    "SHEETS",
    "AirNow",
    "DayPromise",
    "DaySheet",
    "DayStep",
    "DayWait",
    "Drawing",
    "Photo",
    "PutBack",
    "PutBackList",
    "Sheet",
    "SpotTest",
    "Tag",
    "TakeDownRecord",
    "TakenOff",
    "day_sheet",
    "put_back_list",
    "tags",
    "take_down_record",
]
