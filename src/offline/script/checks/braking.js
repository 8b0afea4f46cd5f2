// The sums of braking. src/checks/braking.rs explains each with its source; these must give the same.
{
  const GRAVITY = 9.80665;

  sums["minimum-stop-time"] = (i) => {
    const minimum = given(
      (inertia, speed, power, lossShare) => (inertia * speed * speed) / (power * lossShare),
      i.inertia,
      i.motor_speed,
      i.motor_rated_power,
      i.loss_share,
    );
    return known({ minimum_time: minimum, ratio: ratio(i.deceleration_time, minimum) });
  };

  sums["brake-resistor-value"] = (i) =>
    known({ ratio: ratio(i.measured_resistance, i.brake_resistance) });

  sums["brake-resistor-power"] = (i) =>
    known({
      power: given((u, r) => (u * u) / r, i.chopper_threshold, i.brake_resistance),
      current: ratio(i.chopper_threshold, i.brake_resistance),
    });

  sums["brake-resistor-range"] = (i) => {
    const largest = given((u, power) => (u * u) / power, i.chopper_threshold, i.peak_power);
    const smallest = ratio(i.chopper_threshold, i.chopper_current);
    return known({
      largest_resistance: largest,
      smallest_resistance: smallest,
      share_of_largest: ratio(i.brake_resistance, largest),
      share_of_smallest: ratio(i.brake_resistance, smallest),
      notes:
        largest < smallest
          ? [
              "No resistor suits both: this chopper can't take that power, so the stop must be longer.",
            ]
          : undefined,
    });
  };

  sums["bus-absorption"] = (i) => {
    if (i.bus_voltage >= i.highest_bus_voltage) {
      throw new Contradiction(
        "bus_voltage is not below highest_bus_voltage: the bus has no room left",
      );
    }
    const room = given(busEnergy, i.bus_capacitance, i.bus_voltage, i.highest_bus_voltage);
    const stop = given(kineticEnergy, i.inertia, i.motor_speed, 0);
    return known({ energy: room, stop_energy: stop, ratio: ratio(stop, room) });
  };

  sums["bus-rise"] = (i) =>
    known({
      bus_voltage_after: given(
        (capacitance, before, energy) => Math.sqrt(before * before + (2 * energy) / capacitance),
        i.bus_capacitance,
        i.bus_voltage,
        i.returned_energy,
      ),
    });

  sums["lowering-power"] = (i) =>
    known({
      power: given(
        (mass, velocity, efficiency) => mass * GRAVITY * velocity * efficiency,
        i.mass,
        i.load_velocity,
        i.efficiency,
      ),
    });
}
