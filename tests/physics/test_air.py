"""The air: what must hold for all air, and what is refused."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import OutOfRangeError
from leadfoot.physics.air import (
    STANDARD_AIR,
    Air,
    density_kgm3,
    pressure_pa_at,
    temperature_k_at,
    viscosity_pas,
)

temperatures = st.floats(240.0, 325.0)
pressures = st.floats(50_000.0, 109_000.0)


@given(temperatures, pressures, st.floats(0.0, 0.9))
def test_moist_air_is_lighter(temperature_k: float, pressure_pa: float, humidity: float) -> None:
    drier = density_kgm3(temperature_k, pressure_pa, humidity)
    assert density_kgm3(temperature_k, pressure_pa, humidity + 0.1) < drier


@given(temperatures, pressures, st.floats(0.0, 1.0))
def test_warm_or_thin_air_is_lighter(
    temperature_k: float, pressure_pa: float, humidity: float
) -> None:
    here = density_kgm3(temperature_k, pressure_pa, humidity)
    assert density_kgm3(temperature_k + 1.0, pressure_pa, humidity) < here
    assert density_kgm3(temperature_k, pressure_pa + 100.0, humidity) > here


@given(temperatures)
def test_warm_air_is_more_viscous(temperature_k: float) -> None:
    assert viscosity_pas(temperature_k + 1.0) > viscosity_pas(temperature_k)


@given(st.floats(-400.0, 5_900.0))
def test_higher_is_thinner_and_colder(altitude_m: float) -> None:
    assert pressure_pa_at(altitude_m + 10.0) < pressure_pa_at(altitude_m)
    assert temperature_k_at(altitude_m + 10.0) < temperature_k_at(altitude_m)


def test_standard_air() -> None:
    assert Air(temperature_k=293.15, pressure_pa=101_325.0, humidity_frac=0.5) == STANDARD_AIR
    assert STANDARD_AIR.density_kgm3 == density_kgm3(293.15, 101_325.0, 0.5)
    assert STANDARD_AIR.viscosity_pas == viscosity_pas(293.15)


@pytest.mark.parametrize(
    ("temperature_k", "pressure_pa", "humidity", "text"),
    [
        (
            20.0,
            101_325.0,
            0.5,
            "Air temperature is 20 K; the model holds from 238.15 to 328.15 K. "
            "Check the unit of the temperature.",
        ),
        (
            math.nan,
            101_325.0,
            0.5,
            "Air temperature is nan K; the model holds from 238.15 to 328.15 K. "
            "Check the unit of the temperature.",
        ),
        (
            293.15,
            1_013.0,
            0.5,
            "Air pressure is 1013 Pa; the model holds from 50000 to 110000 Pa. "
            "Check its unit, and give the pressure at the place of play, not at sea level.",
        ),
        (
            293.15,
            101_325.0,
            50.0,
            "Relative humidity is 50; it lies between 0 (dry) and 1 (saturated). Give 50 % as 0.5.",
        ),
    ],
)
def test_air_out_of_range_is_refused(
    temperature_k: float, pressure_pa: float, humidity: float, text: str
) -> None:
    with pytest.raises(OutOfRangeError) as refused:
        Air(temperature_k=temperature_k, pressure_pa=pressure_pa, humidity_frac=humidity)
    assert str(refused.value) == text


@pytest.mark.parametrize("altitude_m", [-1_000.0, 9_000.0, math.nan])
def test_an_altitude_out_of_range_is_refused(altitude_m: float) -> None:
    with pytest.raises(OutOfRangeError) as refused:
        pressure_pa_at(altitude_m)
    assert str(refused.value) == (
        f"Altitude is {altitude_m:g} m; the standard atmosphere is used from -450 to 6000 m. "
        "Check the unit of the altitude, or give the pressure itself."
    )
