// The sums of the DC bus.
// src/checks/dc_bus.rs explains each with its source; these give the same.
{
  const singlePhaseMean = (supply) => supply * ((2 * Math.SQRT2) / Math.PI);
  const commutationDrop = (frequency, inductance, current) => frequency * inductance * current * 6;

  sums["bus-at-rest"] = (i) => {
    const expected = given(busAtRest, i.supply_voltage);
    return known({
      expected_bus_voltage: expected,
      ratio: ratio(i.bus_voltage, expected),
      notes: [
        "With one line missing a resting bus shows the same: a lost phase only shows under load.",
      ],
    });
  };

  sums["bus-loaded"] = (i) =>
    known({
      mean_bus_voltage: given(sixPulseMean, i.supply_voltage),
      peak_bus_voltage: given(busAtRest, i.supply_voltage),
      lowest_bus_voltage: given(sixPulseTrough, i.supply_voltage),
      ratio: ratio(i.bus_voltage, i.supply_voltage),
    });

  sums["bus-single-phase"] = (i) =>
    known({
      mean_bus_voltage: given(singlePhaseMean, i.supply_voltage),
      peak_bus_voltage: given(busAtRest, i.supply_voltage),
      ratio: ratio(i.bus_voltage, i.supply_voltage),
    });

  sums["bus-commutation-drop"] = (i) => {
    const drop = given(commutationDrop, i.supply_frequency, i.source_inductance, i.bus_current);
    const mean = given((supply, lost) => sixPulseMean(supply) - lost, i.supply_voltage, drop);
    if (mean !== undefined && mean < i.supply_voltage * 0.675) {
      throw new Contradiction(
        "this inductance would take more than half the bus at this current; the formula " +
          "ends long before: check inductance and current",
      );
    }
    return known({ drop, mean_bus_voltage: mean, ratio: ratio(i.bus_voltage, mean) });
  };

  sums["bus-range"] = (i) => {
    const highest = given(
      (nominal, above) => busAtRest(nominal * (1 + above)),
      i.supply_voltage,
      i.supply_tolerance_above,
    );
    const lowest = given(
      (nominal, below) => sixPulseMean(nominal * (1 - below)),
      i.supply_voltage,
      i.supply_tolerance_below,
    );
    return known({
      highest_bus_voltage: highest,
      lowest_mean_bus_voltage: lowest,
      to_highest: ratio(i.bus_voltage, highest),
      to_lowest: ratio(i.bus_voltage, lowest),
    });
  };

  sums["bus-display-agreement"] = (i) =>
    known({ difference: deviation(i.displayed_bus_voltage, i.measured_bus_voltage) });

  sums["supply-from-bus"] = (i) =>
    known({ supply_voltage: given((bus) => bus / Math.SQRT2, i.bus_voltage) });
}
