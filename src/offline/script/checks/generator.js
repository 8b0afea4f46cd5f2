// The sums of drives on a generator.
// src/checks/generator.rs explains each with its source; these give the same.
{
  const DRIVE_FACTORS = { "six-pulse": 2, "low-harmonic": 1.4 };

  const STEP_LIMITS = {
    G1: { voltage: { dip: 0.25, rise: 0.35 }, frequency: { dip: 0.15, rise: 0.18 } },
    G2: { voltage: { dip: 0.2, rise: 0.25 }, frequency: { dip: 0.1, rise: 0.12 } },
    G3: { voltage: { dip: 0.15, rise: 0.2 }, frequency: { dip: 0.07, rise: 0.1 } },
  };

  const used = (off, { dip, rise }) => (off < 0 ? -off / dip : off / rise);

  sums["generator-size"] = (i) => {
    const factor = DRIVE_FACTORS[i.input_kind];
    const wanted = given((drives, other) => drives * factor + other, i.drives_power, i.other_power);
    const load = given((drives, other) => drives + other, i.drives_power, i.other_power);
    return known({
      wanted_power: wanted,
      ratio: ratio(i.generator_power, wanted),
      load_share: ratio(load, i.generator_power),
      notes: [`Reckoned with ${factor} times the drives' power, a habit of the trade.`],
    });
  };

  sums["generator-step"] = (i) => {
    const limits = STEP_LIMITS[i.rule];
    const voltage = deviation(i.voltage_during, i.voltage_before);
    const frequency = deviation(i.frequency_during, i.frequency_before);
    return known({
      voltage_step: voltage,
      frequency_step: frequency,
      used: given(
        (u, f) => Math.max(used(u, limits.voltage), used(f, limits.frequency)),
        voltage,
        frequency,
      ),
      class: i.rule,
      notes: [`Judged by class ${i.rule} of ISO 8528-5, from memory.`],
    });
  };
}
