"""What `fit` trusts of slow lines in sixteen real records: `python -m tests.harmonics.sixteen_records`."""

import click

from harmonics.fitting.analysis import TRUSTED_SNR, fit
from tests.harmonics.test_slow_lines import STRETCHES, TIDE, stretch

CRITERION = f"""A slow line is trusted where its amplitude is {TRUSTED_SNR:g} times its error or more, and the
chance that the record's weather makes as much (an F ratio against the levels beside the line) is not above
its share of one mistake in twenty records. * is trusted; (tide) where published constants say it is tide.
"""


def told() -> str:
    """A line for each slow line of each record."""
    lines = [CRITERION, f"{'record':12} {'from day':>8} {'days':>4}  line  amplitude  snr  chance  allowed"]
    trusted = weather_trusted = through = 0
    for item in STRETCHES:
        t, level, inside = stretch(*item)
        for line in fit(t[inside], level[inside]).lines:
            if line.weather is None:
                continue
            tide = (*item, line.name) in TIDE
            trusted += line.trusted
            weather_trusted += line.trusted and not tide
            through += line.snr >= TRUSTED_SNR and not line.trusted
            name, first, days = item
            mark = f"{'*' if line.trusted else ' '}{' (tide)' if tide else ''}"
            lines.append(
                f"{name:12} {first:8} {days:4}  {line.name:4} {line.amplitude:8.3f} m {line.snr:5.1f} "
                f"{line.weather.chance:7.4f} {line.weather.allowed:8.4f} {mark}".rstrip()
            )
    lines.append(
        f"\n{len(STRETCHES)} records: {trusted} slow lines trusted, {weather_trusted} of them not tide; "
        f"{through} that the noise of the fit alone would let through are held back."
    )
    return "\n".join(lines)


if __name__ == "__main__":
    click.echo(told())
