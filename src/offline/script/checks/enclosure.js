// The sums of the cabinet. src/checks/enclosure.rs explains each with its source; these must give the
// same.
{
  const FREE = 0.9;
  const COVERED = 0.5;
  const TOP = 1.4;
  // Factors of the rear and of both sides together, by where the cabinet stands.
  const PLACEMENTS = {
    "free-standing": [FREE, 2 * FREE],
    "against-wall": [COVERED, 2 * FREE],
    "end-of-row": [FREE, FREE + COVERED],
    "end-of-row-at-wall": [COVERED, FREE + COVERED],
    "middle-of-row": [FREE, 2 * COVERED],
    "middle-of-row-at-wall": [COVERED, 2 * COVERED],
  };

  sums["enclosure-area"] = (i) => {
    const [rear, sides] = PLACEMENTS[i.placement];
    return known({
      area: given(
        (height, width, depth) =>
          height * width * (FREE + rear) + height * depth * sides + width * depth * TOP,
        i.enclosure_height,
        i.enclosure_width,
        i.enclosure_depth,
      ),
    });
  };

  sums["enclosure-dissipation"] = (i) => {
    const { heat_transfer: transfer, temperature_rise: rise, heat_loss: loss } = i;
    const passed = given((k, own, area) => k * area * own, transfer, rise, i.enclosure_area);
    return known({
      dissipation: passed,
      area_needed: given((k, own, heat) => heat / (k * own), transfer, rise, loss),
      ratio: ratio(loss, passed),
    });
  };

  sums["enclosure-rise"] = (i) => {
    const rise = given(
      (heat, k, area) => heat / (k * area),
      i.heat_loss,
      i.heat_transfer,
      i.enclosure_area,
    );
    const inside = given((room, own) => room + own, i.ambient_temperature, rise);
    return known({
      rise,
      inside_temperature: inside,
      margin: difference(i.ambient_limit, inside),
    });
  };

  // Cubic metres per hour for each watt and kelvin, and how the rule is told.
  const AIR = {
    common: [3.1, "By the trade's constant 3.1 m³/h for each W/K."],
    "air-at-20": [3600 / (1.2 * 1005), "By the physics of air at 20 °C, 2.985 m³/h for each W/K."],
  };
  const HOUR = 3600;

  sums["enclosure-airflow"] = (i) => {
    const [perWatt, note] = AIR[i.rule];
    return known({
      airflow: given(
        (heat, rise) => (perWatt * heat) / rise / HOUR,
        i.heat_loss,
        i.temperature_rise,
      ),
      notes: [note],
    });
  };
}
