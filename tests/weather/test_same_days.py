"""The same days in every form give the same temperatures, to the form's precision; whatever encloses and separates them."""

from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from calendar_tui.season.weather_files.reading import Answers, read_weather_file

ZONE = ZoneInfo("UTC")
# Tenths of a degree C: what services hand out.
_TENTHS = st.integers(-400, 450)
_DAY = st.tuples(_TENTHS, st.integers(0, 100)).map(
    lambda pair: (pair[0] / 10, min(pair[0] + pair[1], 599) / 10)
)
_DAYS = st.tuples(st.dates(date(1950, 1, 1), date(2050, 1, 1)), st.lists(st.none() | _DAY, min_size=1, max_size=40)).map(
    lambda drawn: {drawn[0] + timedelta(days=n): pair for n, pair in enumerate(drawn[1])}
)  # fmt: skip


def fahrenheit(celsius):
    return f"{celsius * 1.8 + 32:.1f}"


def tenths(celsius):
    return str(round(celsius * 10))


def plain(celsius):
    return f"{celsius:.1f}"


def comma(celsius):
    return plain(celsius).replace(".", ",")


def _doy(day):
    return f"{day.year},{day.timetuple().tm_yday}"


# Each form: what stands first, a row (day, low, high), the degrees as written, a mark for none, its precision in C, what is said.
FORMS = {
    "ghcn-by-station": ("", "USC00000001,{day:%Y%m%d},TMAX,{high},,,7,\nUSC00000001,{day:%Y%m%d},TMIN,{low},,,7,", tenths, "-9999", 0.01, {}),
    "ghcn-station": ("STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,NAME,TMAX,TMAX_ATTRIBUTES,TMIN,TMIN_ATTRIBUTES\n", 'X,{day},1,2,3,N,{high},",,7",{low},",,7"', tenths, "", 0.01, {}),
    "cdo": ("STATION,NAME,DATE,TMAX,TMIN\n", "X,N,{day},{high},{low}", fahrenheit, "", 0.03, {"unit": "F"}),
    "power": ("-BEGIN HEADER-\n-999\n-END HEADER-\nYEAR,DOY,T2M_MAX,T2M_MIN\n", "{doy},{high},{low}", plain, "-999", 0.01, {}),
    "power-dates": ("YEAR,MO,DY,T2M_MAX,T2M_MIN\n", "{day:%Y},{day:%m},{day:%d},{high},{low}", plain, "-999", 0.01, {}),
    "open-meteo": ("time,temperature_2m_max (°F),temperature_2m_min (°F)\n", "{day},{high},{low}", fahrenheit, "", 0.03, {}),
    "daymet": ("Tile: 1\nyear,yday,tmax (deg c),tmin (deg c)\n", "{doy},{high},{low}", plain, "-9999", 0.01, {}),
    "prism": ("PRISM Time Series Data\nDate,tmin (degrees F),tmax (degrees F)\n", "{day},{low},{high}", fahrenheit, "-9999", 0.03, {}),
    "dwd-kl": ("STATIONS_ID;MESS_DATUM; TXK; TNK;eor\n", "  9;{day:%Y%m%d}; {high}; {low};eor", plain, "-999", 0.01, {}),
    "asos-daily": ("station,day,max_temp_f,min_temp_f\n", "A,{day},{high},{low}", fahrenheit, "None", 0.03, {}),
    "a table with commas in its numbers": ("Fecha;T mín (°C);T máx (°C)\n", "{day:%d.%m.%Y};{low};{high}", comma, "M", 0.01, {}),
    "a table of tabs and months first": ("Date\tLow\tHigh\n", "{day:%m/%d/%Y}\t{low}\t{high}", plain, "", 0.01, {"unit": "C", "dates": "month-first"}),
}  # fmt: skip


def written(form, days):
    head, row, degrees, mark, *_ = FORMS[form]
    lines = [
        row.format(
            day=day,
            doy=_doy(day),
            low=mark if pair is None else degrees(pair[0]),
            high=mark if pair is None else degrees(pair[1]),
        )
        for day, pair in days.items()
    ]
    return head + "\n".join(lines) + "\n"


@pytest.mark.parametrize("form", FORMS)
@settings(max_examples=15)
@given(days=_DAYS.filter(lambda days: any(days.values())))
def test_the_same_days_are_read_from_every_form(form, days):
    *_, precision, said = FORMS[form]
    # A file a station holds years, and so a day over 14 C; without one it might be in whole degrees F.
    assume(form != "ghcn-station" or any(pair is not None and pair[1] > 14 for pair in days.values()))
    read = read_weather_file(written(form, days), Answers(**said), {}, ZONE)
    measured = {day: pair for day, pair in days.items() if pair is not None}
    assert list(read.days) == list(measured)
    for day, pair in measured.items():
        assert read.days[day] == pytest.approx(pair, abs=precision)
    assert read.lacking == len(days) - len(measured)
    assert read.form == form or read.form == "daily-table"
