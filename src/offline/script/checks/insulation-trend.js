// The sums of insulation readings together. src/checks/insulation_trend.rs explains each with its
// source; these must give the same.
{
  const INDEX_TELLS_NOTHING_ABOVE = 5000e6;
  const KILOMETRE = 1000;

  sums["polarization-index"] = (i) => {
    const first = i.resistance_1_min;
    const index = ratio(i.resistance_10_min, first);
    const least = i.thermal_class === "A" ? 1.5 : 2;
    const tells = first === undefined || first <= INDEX_TELLS_NOTHING_ABOVE;
    return known({
      index,
      least_index: least,
      share_of_least: tells ? ratio(index, least) : undefined,
      worth: given(() => (tells ? "meaningful" : "not meaningful"), first),
      notes: ["Small random-wound motors give a low index even when sound."],
    });
  };

  sums["dielectric-absorption"] = (i) =>
    known({ absorption: ratio(i.resistance_60_s, i.resistance_30_s) });

  sums["insulation-resistance-at"] = (i) => {
    const factor = (temperature) => given((own) => factorTo40(own, i.rule), temperature);
    const change = ratio(factor(i.measured_temperature), factor(i.wanted_temperature));
    return known({
      resistance: given((resistance, own) => resistance * own, i.resistance, change),
      notes: [correctionNote(i.rule)],
    });
  };

  sums["cable-insulation"] = (i) => {
    const expected = given(
      (ofOneKilometre, length) => ofOneKilometre * (KILOMETRE / length),
      i.resistance_of_one_kilometre,
      i.cable_length,
    );
    return known({
      expected_resistance: expected,
      ratio: ratio(i.insulation_resistance, expected),
    });
  };

  sums["insulation-in-parallel"] = (i) =>
    known({
      resistance: given(
        (motor, cable) => 1 / (1 / motor + 1 / cable),
        i.motor_insulation_resistance,
        i.cable_insulation_resistance,
      ),
    });
}
