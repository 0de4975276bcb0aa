"""A station's daily file in a folder, and what is read of it."""

from calendar_tui.season.weather import Station
from calendar_tui.storage.station.file import read_station

WHOLE = """\
date,low,high,rain
2026-04-01,2.5,12.0,0.0
2026-04-02,3.0,14.5,1.2
2026-04-03,-1.0,9.0,0.0
"""
CELSIUS = Station(file="station.csv", unit="C")
FAHRENHEIT = Station(file="station.csv", unit="F")


def reading(folder, content, station=CELSIUS):
    (folder / station.file).write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_station(folder, station)


def days(folder, content, station=CELSIUS):
    read = reading(folder, content, station)
    assert read.problems == ()
    return read.days
