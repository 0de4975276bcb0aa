"""Weather files in the forms in which services hand them out, written by hand: invented values, each form with its source."""

from datetime import date
from zoneinfo import ZoneInfo

import pytest

from calendar_tui.season.refusal import Refusal
from calendar_tui.season.weather_files.reading import Answers, Unanswered, read_weather_file

ZONE = ZoneInfo("America/Los_Angeles")
FIRST, SECOND, THIRD = date(2026, 7, 1), date(2026, 7, 2), date(2026, 7, 3)

# NOAA NCEI, GHCN-Daily, readme-by_station.txt (read): no headings; ID, YYYYMMDD, element, value, M-, Q- and S-flag, time. readme.txt
# III: temperatures in tenths of a degree C, -9999 for none, a Q-flag for a value that failed a check.
BY_STATION = """\
USC00000001,20260701,PRCP,0,,,7,0700
USC00000001,20260701,TMAX,275,,,7,0700
USC00000001,20260701,TMIN,102,,,7,0700
USC00000001,20260702,TMAX,311,,,7,0700
USC00000001,20260702,TMIN,-9999,,,7,0700
USC00000001,20260703,TMAX,480,,X,7,0700
USC00000001,20260703,TMIN,121,,,7,0700
"""
# The same files in the public bucket noaa-ghcn-pds have a line of headings (read in several public readers of them and their tests).
IN_BUCKET = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n" + BY_STATION
# NOAA NCEI, .../global-historical-climatology-network-daily/access: a CSV file a station. Headings, blanks before the values and
# attributes "M,Q,S,time" as in rows of USW00023272 and AUM00011158 that tests of public readers hold (read); -50 is -5.0 C there.
ACCESS = """\
"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"
"USC00000001","2026-07-01","44.5","-123.2","70.1","NORTH BENCH 2 E, OR US","    0",",,7","  275",",,7,0700","  102",",,7,0700"
"USC00000001","2026-07-02","44.5","-123.2","70.1","NORTH BENCH 2 E, OR US","    0",",,7","  311",",,7,0700","",""
"USC00000001","2026-07-03","44.5","-123.2","70.1","NORTH BENCH 2 E, OR US","    0",",,7","  480",",X,7,0700","  121",",,7,0700"
"""
# NOAA NCEI, climate data by request (CDO), "Daily Summaries" as CSV: unit by request, several stations. Headings, with or without the
# place, and rows in whole degrees F ("61","75") or in C ("10.0","1.1"), as public notes on such orders quote them (read).
CDO = """\
"STATION","NAME","LATITUDE","LONGITUDE","ELEVATION","DATE","PRCP","TMAX","TMIN"
"USC00000001","NORTH BENCH 2 E, OR US","44.5","-123.2","70.1","2026-07-01","0.00","81.5","50.4"
"USC00000001","NORTH BENCH 2 E, OR US","44.5","-123.2","70.1","2026-07-02","0.00","88","53"
"USW00000002","FAR FIELD, OR US","42.1","-120.6","1450.2","2026-07-01","0.00","70","48"
"""
# NASA POWER, daily, CSV: a block of lines about the request, then YEAR and DOY, -999 where nothing is known. The block as files of the
# interface have it (read, of 2026, in public tests and the pages of two readers); before, it began "CERES/MERRA2 Native", without "in LST".
POWER = """\
-BEGIN HEADER-
NASA/POWER Source Native Resolution Daily Data
Dates (month/day/year): 07/01/2026 through 07/03/2026 in LST
Location: latitude  44.5   longitude -123.2
elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 200.1 meters
The value for missing source data that cannot be computed or is outside of the sources availability range: -999
parameter(s):
T2M_MAX     MERRA-2 Temperature at 2 Meters Maximum (C)
T2M_MIN     MERRA-2 Temperature at 2 Meters Minimum (C)
-END HEADER-
YEAR,DOY,T2M_MAX,T2M_MIN
2026,182,27.5,10.2
2026,183,31.1,12.0
2026,184,-999,-999
"""
POWER_DATES = POWER.split("YEAR,", maxsplit=1)[0] + (
    "YEAR,MO,DY,T2M_MAX,T2M_MIN\n2026,7,1,27.5,10.2\n2026,7,2,31.1,12.0\n2026,7,3,-999,-999\n"
)
# Open-Meteo, format=csv, as the service's own source writes it (read: open-meteo, CsvWriter.swift): two lines about the place, an empty
# line, then the days with their units; NaN for none.
OPEN_METEO = """\
latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation
44.5,-123.2,70.0,-25200,America/Los_Angeles,PDT

time,temperature_2m_max (°C),temperature_2m_min (°C)
2026-07-01,27.5,10.2
2026-07-02,31.1,12.0
2026-07-03,NaN,NaN
"""
# ORNL DAAC, Daymet single pixel extraction: lines about the pixel, then year and yday of years of 365 days. Lines and headings as the
# service gave them (read in a public record of its answers, version 4); version 3 had an empty line above the headings, and 182.0 for 182.
DAYMET = """\
Latitude: 44.5  Longitude: -123.2
X & Y on Lambert Conformal Conic: -1800000.0 300000.0
Tile: 12270
Elevation: 70 meters
All years; all variables; Daymet Software Version 4.0
How to cite: Thornton; M.M.; R. Shrestha; Y. Wei; P.E. Thornton; S-C. Kao; and B.E. Wilson. 2022. Daymet; Version 4 R1
year,yday,dayl (s),prcp (mm/day),srad (W/m^2),swe (kg/m^2),tmax (deg c),tmin (deg c),vp (Pa)
2026,182,55100.1,0.00,400.1,0.00,27.5,10.2,980.1
2026,183,55050.2,0.00,410.2,0.00,31.1,12.0,990.2
2026,184,55000.3,0.00,420.3,0.00,-9999,-9999,-9999
"""
DAYMET_3 = DAYMET.replace("year,", "\nyear,").replace("2026,18", "2026.0,18").replace(",55", ".0,55")
# PRISM Climate Group, time series of one place: the lines as files of the explorer have them (read in public notes on two of them), in
# ft and F or in m and C. The mark for none is from memory.
PRISM = """\
PRISM Time Series Data
Location:  Lat: 44.5000   Lon: -123.2000   Elev: 230ft
"Climate variables: tmin,tmax"
Spatial resolution: 4km
Period: 2026-07-01 - 2026-07-03
Dataset: AN81d
PRISM day definition: 24 hours ending at 1200 UTC on the day shown
Grid Cell Interpolation: Off
Time series generated: 2026-Aug-01
Details: http://www.prism.oregonstate.edu/documents/PRISM_datasets.pdf
Date,tmin (degrees F),tmax (degrees F)
2026-07-01,50.4,81.5
2026-07-02,53.6,88.0
2026-07-03,-9999,-9999
"""
# The same of several places (read in public readers of such files): their names and places stand in the rows.
PRISM_PLACES = (
    PRISM.partition("Location:")[0]
    + "Spatial resolution: 4km\n"
    + "Name,Longitude,Latitude,Elevation (ft),Date,ppt (inches),tmin (degrees F),tmax (degrees F)\n"
    + "bench,-123.2,44.5,230,2026-07-01,0.00,50.4,81.5\n"
    + "far,-120.6,42.1,4757,2026-07-01,0.00,40,70\n"
)
# Deutscher Wetterdienst, daily KL: semicolons, blanks before the values, -999, "eor" at the end of each row. Headings and rows as in
# produkt_klima_tag files of stations 44 and 1358 that public notes quote (read); TXK, TNK in degrees C by the description of the data.
DWD = """\
STATIONS_ID;MESS_DATUM;QN_3;  FX;  FM;QN_4; RSK;RSKF; SDK;SHK_TAG;  NM; VPM;  PM; TMK; UPM; TXK; TNK; TGK;eor
        999;20260701;-999;-999;-999;    9;   0.0;   0;-999;   0;   3.3;   9.2;  970.60;   18.8;   62.00;   27.5;   10.2;-999;eor
        999;20260702;-999;-999;-999;    9;   0.0;   0;-999;   0;   2.8;   9.1;  973.70;   22.0;   60.00;   31.1;   12.0;-999;eor
        999;20260703;-999;-999;-999;    9;   0.0;   0;-999;   0;   2.8;   9.1;  973.70;   22.0;   60.00;   -999;   -999;-999;eor
"""
# Iowa Environmental Mesonet, daily summaries of airport stations, CSV, as the service's own source writes them (read: iem,
# iemweb/request/daily.py): "None" for none, or "M" or nothing by request; the network last, since October 2026.
ASOS = """\
station,day,max_temp_f,min_temp_f,precip_in,network
ABC,2026-07-01,81.5,50.4,0.0,OR_ASOS
ABC,2026-07-02,88.0,53.6,0.0,OR_ASOS
ABC,2026-07-03,None,M,None,OR_ASOS
"""
# Tables as spreadsheets and loggers write them: common practice, no source.
TABLE = (
    "Datum;Min. Temperatur (°C);Max. Temperatur (°C)\n01.07.26;10,2;27,5\n02.07.26;12,0;31,1\n03.07.26;;\n"
)
TABBED = "Date\tLow °F\tHigh °F\n1-Jul-2026\t50.4\t81.5\n2-Jul-2026\t53.6\t88.0\n3-Jul-2026\tNA\tNA\n"
SLASHES = "date,t_min_c,t_max_c\n2026/07/01,10.2,27.5\n2026/07/02,12.0,31.1\n2026/07/03,999.9,999.9\n"

WHOLE = {
    "NASA POWER by day of the year": (POWER, "power", "C"),
    "NASA POWER by date": (POWER_DATES, "power-dates", "C"),
    "Open-Meteo": (OPEN_METEO, "open-meteo", "C"),
    "Daymet": (DAYMET, "daymet", "C"),
    "Daymet of before": (DAYMET_3, "daymet", "C"),
    "PRISM": (PRISM, "prism", "F"),
    "DWD": (DWD, "dwd-kl", "C"),
    "ASOS": (ASOS, "asos-daily", "F"),
    "semicolons, commas and years of two digits": (TABLE, "daily-table", "C"),
    "tabs and months by name": (TABBED, "daily-table", "F"),
    "slashes and a mark of nines": (SLASHES, "daily-table", "C"),
}


NOTHING = Answers()


def read(text, said=NOTHING, kept=None):
    return read_weather_file(text, said, kept or {}, ZONE)


def questions(text):
    with pytest.raises(Unanswered) as asked:
        read(text)
    return asked.value.questions


@pytest.mark.parametrize(("text", "form", "unit"), WHOLE.values(), ids=WHOLE.keys())
def test_a_form_is_known_and_its_days_are_in_degrees_c(text, form, unit):
    file = read(text)
    assert (file.form, file.unit) == (form, unit)
    assert list(file.days) == [FIRST, SECOND]
    assert file.days[FIRST] == pytest.approx((10.2, 27.5), abs=0.03)
    assert file.days[SECOND] == pytest.approx((12.0, 31.1), abs=0.03)
    assert (file.first, file.last, file.lacking) == (FIRST, THIRD, 1)
    assert sum(file.missing.values()) == 2


@pytest.mark.parametrize(
    ("text", "form"),
    [(BY_STATION, "ghcn-by-station"), (IN_BUCKET, "ghcn-by-station"), (ACCESS, "ghcn-station")],
)
def test_ghcn_daily_is_in_tenths_and_a_value_that_failed_a_check_is_a_gap(text, form):
    file = read(text)
    assert (file.form, file.unit, file.station) == (form, "C", "USC00000001")
    assert file.days == {FIRST: pytest.approx((10.2, 27.5))}
    assert (file.flagged, file.lacking) == (1, 2)


def test_a_file_like_ghcn_daily_with_decimals_is_not_in_tenths():
    assert [question.key for question in questions(ACCESS.replace("  275", " 27.5"))] == ["unit"]


def test_a_file_like_ghcn_daily_in_whole_degrees_f_is_asked_and_never_read_as_tenths():
    """By request NCEI's data service gives degrees F in the same columns (their order there is from memory)."""
    whole = ACCESS.replace("  275", "   81").replace("  102", "   50").replace("  311", "   88")
    text = whole.replace("  480", "   90").replace("  121", "   54")
    assert [question.key for question in questions(text)] == ["unit"]
    assert read(text, Answers(unit="F")).days == {FIRST: pytest.approx((10, 27.2), abs=0.03)}


@pytest.mark.parametrize("text", [POWER, OPEN_METEO, DAYMET, PRISM, ACCESS])
def test_where_the_station_stands_is_read_where_the_file_says_it(text):
    assert read(text).position == (44.5, -123.2)


def test_where_one_of_several_stations_stands_is_read_from_its_own_rows():
    assert read(CDO, Answers(unit="F", station="USW00000002")).position == (42.1, -120.6)
    assert read(CDO, Answers(unit="F", station="USC00000001")).position == (44.5, -123.2)


def test_prism_of_several_places_asks_which():
    (question,) = questions(PRISM_PLACES)
    assert (question.key, question.answers) == ("station", ("bench", "far"))
    file = read(PRISM_PLACES, Answers(station="far"))
    assert (file.form, file.unit, file.position) == ("prism", "F", (42.1, -120.6))
    assert file.days[FIRST] == pytest.approx((4.44, 21.11), abs=0.01)


# NASA POWER of a region: the place stands in the rows, LAT and LON before the date (read in public readers of such files).
def test_power_of_a_region_asks_which_place():
    region = (
        "-BEGIN HEADER-\nNASA/POWER Daily Data\n-END HEADER-\nLAT,LON,YEAR,MO,DY,T2M_MAX,T2M_MIN\n"
        "44.25,-123.25,2026,7,1,27.5,10.2\n44.75,-123.25,2026,7,1,25,9\n"
    )
    (question,) = questions(region)
    assert (question.key, question.answers) == ("station", ("44.25 -123.25", "44.75 -123.25"))
    assert question.text == "which station: 44.25 -123.25 (1 row), 44.75 -123.25 (1 row)"
    many = region + "".join(f"45,-{n},2026,7,1,25,9\n" for n in range(100, 120))
    assert questions(many)[0].text.endswith(" and 10 more")
    file = read(region, Answers(station="44.75 -123.25"))
    assert (file.form, file.position) == ("power-dates", (44.75, -123.25))
    assert file.days == {FIRST: (9, 25)}
    assert not file.twice
    by_day = region.replace("YEAR,MO,DY", "YEAR,DOY").replace("2026,7,1", "2026,182")
    assert read(by_day, Answers(station="44.75 -123.25")).days == file.days


def test_rows_of_one_place_have_no_station_to_ask_for():
    file = read("Latitude;Longitude;Date;Tmin (C);Tmax (C)\n44.5;-123.2;2026-07-01;10.2;27.5\n")
    assert (file.station, file.position) == ("", (44.5, -123.2))


def test_a_request_of_several_stations_asks_which_and_in_what_unit():
    assert {question.key: question.answers for question in questions(CDO)} == {
        "station": ("USC00000001", "USW00000002"),
        "unit": ("C", "F"),
    }
    file = read(CDO, Answers(unit="F", station="USC00000001"))
    assert file.days[FIRST] == pytest.approx((10.22, 27.5), abs=0.01)
    assert file.unit_by == "as you say"
    again = read(CDO, kept={"cdo": Answers(unit="F", station="USC00000001")})
    assert again.days == file.days
    assert again.unit_by == "as you said of such a file before"


def test_a_station_that_is_not_there_is_told_with_those_that_are():
    with pytest.raises(Refusal, match=r'no station "USC1" in the file.*USC00000001, USW00000002'):
        read(CDO, Answers(unit="F", station="USC1"))


def test_a_unit_that_the_file_denies_is_refused():
    with pytest.raises(Refusal, match="are in C, by its heading, and not in F"):
        read(OPEN_METEO, Answers(unit="F"))


AMBIGUOUS = "date,min (C),max (C)\n01/07/2026,10,20\n02/07/2026,11,21\n"


def test_the_order_of_day_and_month_is_asked_where_both_make_dates_of_all():
    (question,) = questions(AMBIGUOUS)
    assert question.key == "dates"
    assert "2026-07-01 or 2026-01-07" in question.text
    assert list(read(AMBIGUOUS, Answers(dates="day-first")).days) == [FIRST, SECOND]
    assert list(read(AMBIGUOUS, Answers(dates="month-first")).days) == [date(2026, 1, 7), date(2026, 2, 7)]
    assert list(read(AMBIGUOUS, kept={"daily-table": Answers(dates="day-first")}).days) == [FIRST, SECOND]


def test_one_date_that_fits_one_order_alone_settles_it():
    file = read(AMBIGUOUS + "13/07/2026,9,19\n")
    assert (file.order, list(file.days)[-1]) == ("day-first", date(2026, 7, 13))


def test_columns_of_unknown_names_are_asked_for_and_taken_as_said():
    text = "when;nachts;tags\n2026-07-01;10,2;27,5\n"
    with pytest.raises(Refusal, match="Its widest line has: when, nachts, tags"):
        read(text)
    said = {"when": "date", "nachts": "low", "tags": "high"}
    file = read(text, Answers(unit="C", columns=said))
    assert (file.days, file.columns) == ({FIRST: (10.2, 27.5)}, said)


@pytest.mark.parametrize("mark", ["-999", "-9999", "9999", "999.9", "M", "T", "NA", "None", ""])
def test_usual_marks_for_nothing_measured_are_gaps_and_counted(mark):
    file = read(f"date,low (C),high (C)\n2026-07-01,{mark},20\n2026-07-02,11,21\n2026-07-03,{mark},{mark}\n")
    assert list(file.days) == [SECOND]
    assert file.missing == {mark or "empty": 3}


def test_what_air_never_has_is_a_gap_and_named():
    rows = [f"2026-06-{n:02},10,20" for n in range(1, 31)]
    file = read("\n".join(["date,low (C),high (C)", *rows, "2026-07-01,12,78.2", "2026-07-02,20,12"]))
    assert [cell.line for cell in file.wrong] == [32, 33]
    assert "the high is 78.2 C" in file.wrong[0].text
    assert "over the high" in file.wrong[1].text
    assert FIRST not in file.days


def test_a_low_over_its_high_is_named_with_the_later_of_its_two_lines():
    rows = (
        f"USC00000001,202606{n:02},{side},{value},,,7,"
        for n in range(1, 11)
        for side, value in (("TMAX", 200), ("TMIN", 100))
    )
    file = read(
        "\n".join([*rows, "USC00000001,20260611,TMIN,210,,,7,", "USC00000001,20260611,TMAX,200,,,7,"])
    )
    assert [(cell.line, cell.text) for cell in file.wrong] == [
        (22, "2026-06-11: the low, 21.0 C, is over the high, 20.0 C")
    ]


def test_most_days_beyond_air_are_the_units_fault_and_refused():
    with pytest.raises(Refusal, match="say its unit and columns rightly"):
        read("date,low,high\n2026-07-01,50,81\n2026-07-02,53,88\n", Answers(unit="C"))


def test_a_cell_that_is_no_number_is_a_gap_and_named():
    file = read("date,low (C),high (C)\n2026-07-01,10,warm\n2026-07-02,11,21\n")
    assert file.unread == ((2, '"warm" is no number'),)


def test_decimal_commas_between_commas_are_refused_and_never_read_as_other_temperatures():
    with pytest.raises(Refusal, match="line 2: has 5 cells where 3 are named"):
        read("date,low (C),high (C)\n2026-07-01,12,5,27,5\n2026-07-02,11,0,21,0\n")


def test_a_file_without_dates_is_refused_with_the_first_line():
    with pytest.raises(
        Refusal, match='line 2: "soon" is no date; write it as 2026-01-31; 1 of 1 rows are so'
    ):
        read("date,low (C),high (C)\nsoon,10,20\n")


def test_a_day_that_stands_twice_counts_as_it_stands_last():
    file = read("date,low (C),high (C)\n2026-07-01,10,20\n2026-07-01,11,21\n")
    assert (file.days, file.twice) == ({FIRST: (11.0, 21.0)}, 1)


def test_daymet_counts_29_february_and_leaves_the_last_day_of_a_leap_year_out():
    """Daymet user guide: day 60 of a leap year is 29 February; 31 December is left out."""
    head = "year,yday,tmax (deg c),tmin (deg c)\n"
    rows = "".join(f"2024,{n},20,10\n" for n in range(1, 366))
    file = read(head + rows + "2025,1,20,10\n")
    assert date(2024, 2, 29) in file.days
    assert (date(2024, 12, 31) in file.days, file.lacking) == (False, 1)
