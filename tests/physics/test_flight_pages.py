"""The pages on air, ball and run say what the code does."""

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from leadfoot.physics.air import STANDARD_AIR, Air, pressure_pa_at
from leadfoot.physics.ball import AIR_MODELS, REGRESSION, Ball
from leadfoot.physics.flight import Flight, Launch, Wind, fly
from leadfoot.physics.slow_drag import with_the_rise
from leadfoot.physics.spread import model_spread
from tests.physics.launches import RPM

EXPLAIN = Path(__file__).parents[2] / "docs" / "explain"
YARD_M = 0.9144


def rows(page: str, first: str) -> list[list[str]]:
    """The rows of the table on a page whose header begins with these words."""
    lines = (EXPLAIN / page).read_text("utf-8").splitlines()
    start = next(k for k, line in enumerate(lines) if line.startswith(f"| {first}"))
    found = []
    for line in lines[start + 2 :]:
        if not line.startswith("|"):
            break
        found.append([cell.strip() for cell in line.strip("|").split("|")])
    return found


def numbers(text: str) -> list[float]:
    plain = text.replace(",", "").replace("\N{MINUS SIGN}", "-")
    return [float(found) for found in re.findall(r"-?\d+(?:\.\d+)?", plain)]


def launched(words: str) -> Launch:
    speed, angle, spin = numbers(words)[-3:]
    return Launch(
        ball_speed_mps=speed, launch_angle_rad=math.radians(angle), spin_rate_radps=spin * RPM
    )


@pytest.mark.parametrize("row", rows("ball.md", "ball speed"), ids=lambda row: str(row[0]))
def test_the_table_of_the_models(row: list[str]) -> None:
    launch = launched(row[0])
    models = (*AIR_MODELS.values(), with_the_rise(REGRESSION))
    for model, cell in zip(models, (*row[1:4], row[5]), strict=True):
        carry_yd = fly(launch, model=model).carry_m / YARD_M
        assert carry_yd == pytest.approx(numbers(cell)[0], abs=0.06)
    spread = 100.0 * model_spread(launch).carry_frac
    assert spread == pytest.approx(numbers(row[4])[0], abs=0.06)


SHOTS = [launched(row[0]) for row in rows("run.md", "landing of")]


@pytest.mark.parametrize("row", rows("air.md", "change"), ids=lambda row: str(row[0]))
def test_the_table_of_the_air(row: list[str]) -> None:
    bases = (STANDARD_AIR,)
    change = row[0]
    if "colder" in change or "warmer" in change:
        way = numbers(change)[0] * (-1.0 if "colder" in change else 1.0)
        changed = replace(STANDARD_AIR, temperature_k=STANDARD_AIR.temperature_k + way)
    elif "higher" in change:
        changed = replace(STANDARD_AIR, pressure_pa=pressure_pa_at(1_000.0))
    else:
        bases = (Air(temperature_k=303.15, humidity_frac=0.0),)
        changed = replace(bases[0], humidity_frac=1.0)
    (base,) = bases
    density = 100.0 * (changed.density_kgm3 / base.density_kgm3 - 1.0)
    assert density == pytest.approx(numbers(row[1])[0], abs=0.06)
    for launch, cell in zip(SHOTS, row[2:], strict=True):
        gain_yd = (fly(launch, air=changed).carry_m - fly(launch, air=base).carry_m) / YARD_M
        assert gain_yd == pytest.approx(numbers(cell)[0], abs=0.06)


@pytest.mark.parametrize("row", rows("run.md", "landing of"), ids=lambda row: str(row[0]))
def test_the_table_of_the_run(row: list[str]) -> None:
    flight = fly(launched(row[0]))
    run_yd = (flight.total_m - flight.carry_m) / YARD_M
    assert flight.carry_m / YARD_M == pytest.approx(numbers(row[1])[0], abs=0.6)
    assert run_yd == pytest.approx(numbers(row[2])[0], abs=0.6)
    low, high = numbers(row[3])
    assert (0.7 * run_yd, 1.3 * run_yd) == pytest.approx((low, high), abs=0.6)


def drive(**how: object) -> Flight:
    return fly(SHOTS[0], **how)  # type: ignore[arg-type]


def test_what_the_pages_say_of_the_drive() -> None:
    calm = drive().carry_m
    texts = {page: (EXPLAIN / page).read_text("utf-8") for page in ("ball.md", "flight.md")}
    (head, tail), *_ = re.findall(r"loses (\d+) yd and gains (\d+)", texts["flight.md"])
    for along_mph, said in ((-10.0, -float(head)), (10.0, float(tail))):
        change = drive(wind=Wind(along_mps=along_mph * 0.44704)).carry_m - calm
        assert change / YARD_M == pytest.approx(said, abs=0.6)
    words = " ".join(texts["ball.md"].split())
    ((drag, lift),) = re.findall(r"worth ([\d.]+) yd of carry, 2 % less lift costs ([\d.]+)", words)
    assert (drive(ball=Ball(drag_factor=0.98)).carry_m - calm) / YARD_M == pytest.approx(
        float(drag), abs=0.06
    )
    assert (calm - drive(ball=Ball(lift_factor=0.98)).carry_m) / YARD_M == pytest.approx(
        float(lift), abs=0.06
    )
    kept = drive().landing_spin_radps / SHOTS[0].spin_rate_radps
    ((ours, flat),) = re.findall(r"lands with (\d+) % of its spin.* leaves (\d+) %", words)
    assert 100.0 * kept == pytest.approx(float(ours), abs=0.6)
    assert 100.0 * math.exp(-0.04 * drive().hang_time_s) == pytest.approx(float(flat), abs=0.6)
