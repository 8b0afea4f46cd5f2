// The sums of winding resistance. src/checks/winding.rs explains each with its source; these must
// give the same.
{
  const meanAndUnbalance = (...three) => {
    const mean = three.reduce((sum, each) => sum + each, 0) / 3;
    if (mean <= 0) {
      throw new Contradiction(
        "all three read zero: this meter can't resolve the winding; use a four-wire instrument",
      );
    }
    return [mean, Math.max(...three.map((each) => Math.abs(each - mean))) / mean];
  };

  sums["winding-balance"] = (i) => {
    const three = [i.resistance_u_v, i.resistance_v_w, i.resistance_w_u];
    const [mean, unbalance] = given(meanAndUnbalance, ...three) || [];
    const limit = i.winding === "form" ? 0.01 : 0.02;
    return known({
      unbalance,
      mean_resistance: mean,
      highest_resistance: given(Math.max, ...three),
      unbalance_limit: limit,
      share_of_limit: ratio(unbalance, limit),
    });
  };

  // Degrees Celsius below zero at which the metal's resistance would be nought, and how it is told.
  const metalOf = (i) => {
    if (i.metal === "aluminium") return [225, "Aluminium, k = 225."];
    if (i.rule === "iec") return [235, "Copper by IEC 60034-1, k = 235."];
    return [234.5, "Copper by IEEE and NEMA, k = 234.5."];
  };
  const atTemperature = (k) => (resistance, from, to) =>
    resistance * ((k + celsius(to)) / (k + celsius(from)));

  sums["winding-resistance-at"] = (i) => {
    const [k, note] = metalOf(i);
    return known({
      resistance: given(
        atTemperature(k),
        i.resistance,
        i.measured_temperature,
        i.wanted_temperature,
      ),
      notes: [note],
    });
  };

  sums["winding-rise"] = (i) => {
    const [k, note] = metalOf(i);
    const { cold_resistance: resistance, cold_temperature: cold } = i;
    const hot = given(
      (atCold, from, atHot) => kelvin((atHot / atCold) * (k + celsius(from)) - k),
      resistance,
      cold,
      i.hot_resistance,
    );
    const letter = i.thermal_class;
    const limit = kelvin(40 + THERMAL_CLASSES[letter].rise);
    return known({
      rise: difference(hot, cold),
      winding_temperature: hot,
      temperature_limit: limit,
      highest_resistance: given(atTemperature(k), resistance, cold, limit),
      margin: difference(limit, hot),
      notes: [note, `Judged as thermal class ${letter}.`],
    });
  };

  sums["winding-line-resistance"] = (i) => {
    const delta = i.connection === "delta";
    return known({
      line_resistance: given((phase) => phase * (delta ? 2 / 3 : 2), i.phase_resistance),
      notes: [delta ? "Connected in delta." : "Connected in star."],
    });
  };
}
