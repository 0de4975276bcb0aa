"""A season hard to draw: screened parts, covers, failed lamps, a cohort that never flowers, names that look like markup."""

from __future__ import annotations

from datetime import date, timedelta

NAME = "Rows & <b>columns</b> \"q\" 'a' </text></svg><script>alert(1)</script> שלום"
_HEAD = """\
format = 3
[season]
name = {name}
first_day = 2026-03-01
last_day = 2026-12-31
[site]
latitude = 35.8
longitude = -78.7
timezone = "America/New_York"
[[place]]
id = "N1"
kind = "nursery"
lamps = {{ target_h = 18.0, kw = 0.5 }}
[[place]]
id = "H2"
kind = "hoop house"
name = "<i>long & strange</i> house שלום, with a name that is longer than its room"
screened = ["east", "west"]
lamps = {{ target_h = 16.0, kw = 1.2 }}
[[place]]
id = "F1"
kind = "field"
[[programme]]
place = "H2"
method = "blackout"
from = 2026-06-20
to = 2026-07-20
on = "17:00"
off = "08:00"
[[outage]]
place = "N1"
from = 2026-04-01
to = 2026-04-03
[[variety]]
id = "never"
response = "short-day"
critical_day = "9:30"
full_response_day = "8:00"
[[variety]]
id = "a_long-name_of-24-letter"
response = "day-neutral"
[[chore]]
id = "sow"
what = "Sow <u>\\"deep\\"</u> & label"
stage = "seeding"
who = "crew & <co>"
hours = 1.5
caution = "Dust </table> & <seed>"
"""


def hard_text(cohorts: int, varieties: int = 3) -> str:
    """The season's text with so many cohorts, each tenth of which never flowers or knows no day length."""
    out = [_HEAD.format(name='"' + NAME.replace('"', '\\"') + '"')]
    for n in range(varieties):
        out.append(
            f'[[variety]]\nid = "var{n}"\nresponse = "short-day"\n'
            f'critical_day = "{13 + n // 12 % 2}:{n * 7 % 60:02d}"\nfull_response_day = "12:{n * 5 % 60:02d}"\n'
        )
    out += [_cohort(n, varieties) for n in range(cohorts)]
    return "".join(out)


def _cohort(n: int, varieties: int) -> str:
    day = date(2026, 3, 5) + timedelta(days=n % 90)
    variety = f"var{n % varieties}" if n % 10 else ("never" if n % 20 else "a_long-name_of-24-letter")
    lit = n % 3 == 0 and n % 20
    lights = f", lights_on = {day + timedelta(25)}, lights_off = {day + timedelta(70)}" if lit else ""
    place = f'place = "H2"\npart = "{("east", "west")[n % 2]}"' if n % 3 == 0 else 'place = "F1"'
    name = f"C{n}" if n % 7 else f"cohort_of-long-name_{n:04d}"
    return (
        f'[[cohort]]\nid = "{name}"\nvariety = "{variety}"\nstart = "seed"\nnursery = "N1"\n{place}\n'
        f"plants = {100 + n}\nplanned = {{ seeding = {day}, transplant = {day + timedelta(25)}{lights} }}\n"
    )
