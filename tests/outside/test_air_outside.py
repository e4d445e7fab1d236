"""The air against standards and handbooks."""

from leadfoot.physics.air import density_kgm3, pressure_pa_at, temperature_k_at, viscosity_pas
from tests.outside.checks import Row, against, each

GAS_CONSTANT_OF_AIR = 287.05287  # J/(kg K), ISO 2533


@against(model="air", table="air_density", check=40)
@each("air_density")
def test_density(row: Row) -> None:
    density = density_kgm3(row["temperature_k"], row["pressure_pa"], row["humidity_frac"])
    assert abs(density - row["expected_kgm3"]) <= row["tolerance_kgm3"]


@against(model="air", table="air_altitude", check=41)
@each("air_altitude")
def test_standard_atmosphere(row: Row) -> None:
    pressure = pressure_pa_at(row["altitude_m"])
    temperature = temperature_k_at(row["altitude_m"])
    density = pressure / (GAS_CONSTANT_OF_AIR * temperature)  # the standard's own ideal gas
    found = {"pressure_ratio": pressure / 101_325.0, "density": density}[row.words["quantity"]]
    assert abs(found - row["expected"]) <= row["tolerance"]


@against("sutherland", model="air")
def test_viscosity() -> None:
    # source: sutherland; place: 288.15 K; tolerance: half a unit of the last printed digit
    assert abs(viscosity_pas(288.15) - 1.789e-5) <= 0.0005e-5
    assert viscosity_pas(273.15) == 1.716e-5
