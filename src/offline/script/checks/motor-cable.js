// The sums of long motor cables. src/checks/motor_cable.rs explains each with its source; these
// must give the same.
{
  const TYPICAL_CAPACITANCE = [0.15e-9, 0.6e-9];
  const LIMITS_END_AT = 600;
  // Peak voltage and shortest rise time that a motor's insulation is built for.
  const PEAK_LIMITS = {
    "general-purpose": () => ({ voltage: 1000, riseTime: 2e-6 }),
    "inverter-duty": (rated) => ({ voltage: rated * (1.1 * 2 * Math.SQRT2), riseTime: 0.1e-6 }),
    "inverter-duty-early": () => ({ voltage: 1600, riseTime: 0.1e-6 }),
  };
  // Highest overshoot of each stress category.
  const STRESS = [
    ["benign", 1.1],
    ["moderate", 1.5],
    ["severe", 2],
    ["extreme", 2.5],
    ["beyond extreme", Infinity],
  ];

  const sineChargingCurrent = (frequency, capacitance, voltage) =>
    (frequency * capacitance * voltage * 2 * Math.PI) / Math.sqrt(3);

  sums["cable-charging-current"] = (i) => {
    const perMetre = i.cable_capacitance;
    const capacitance = given((length, each) => length * each, i.cable_length, perMetre);
    const bus = given(busAtRest, i.supply_voltage);
    const current = given(pulseChargingCurrent, i.switching_frequency, capacitance, bus);
    const [least, most] = TYPICAL_CAPACITANCE;
    const unusual = perMetre < least || perMetre > most;
    return known({
      current,
      sine_current: given(sineChargingCurrent, i.output_frequency, capacitance, i.supply_voltage),
      share: ratio(current, i.drive_rated_current),
      notes: unusual
        ? ["This capacitance is not usual for a shielded motor cable: 0.15 to 0.6 µF/km."]
        : undefined,
    });
  };

  sums["cable-critical-length"] = (i) => {
    const critical = given((speed, time) => (speed * time) / 2, i.wave_speed, i.rise_time);
    return known({ critical_length: critical, ratio: ratio(i.cable_length, critical) });
  };

  const transmissionFactor = (motor, cable) => (motor * 2) / (motor + cable);

  // The bus as read, else as the supply charges it; a dead bus gives no overshoot.
  const busOf = (i) => {
    const bus = i.bus_voltage === undefined ? given(busAtRest, i.supply_voltage) : i.bus_voltage;
    return bus > 0 ? bus : undefined;
  };

  sums["reflected-peak"] = (i) => {
    const bus = busOf(i);
    const factor = given(transmissionFactor, i.motor_impedance, i.cable_impedance);
    const computed = given((own) => own * (factor === undefined ? 2 : factor), bus);
    const peak = i.measured_peak_voltage === undefined ? computed : i.measured_peak_voltage;
    const overshoot = ratio(peak, bus);
    const rated = i.motor_rated_voltage;
    if (rated !== undefined && !PEAK_LIMITS[i.motor_kind]) {
      throw new Contradiction("no such motor; whytrip check shows the choices");
    }
    const limit = rated <= LIMITS_END_AT ? PEAK_LIMITS[i.motor_kind](rated) : {};
    const notes = [];
    if (overshoot === undefined) {
      notes.push("Give the bus voltage or the supply voltage: without it there is no overshoot.");
    }
    if (factor === undefined) {
      notes.push("Impedances not given: full reflection taken, the worst for a small motor.");
    }
    if (rated > LIMITS_END_AT) {
      notes.push("The limits end at 600 V rated: ask the motor's maker.");
    }
    return known({
      peak_voltage: computed,
      overshoot,
      stress: given((own) => STRESS.find(([, most]) => own - 1e-9 <= most)[0], overshoot),
      limit: limit.voltage,
      shortest_rise_time: limit.riseTime,
      ratio: ratio(peak, limit.voltage),
      notes,
    });
  };
}
