// The sums of motor temperature sensors. src/checks/sensors.rs explains each with its source; these
// must give the same.
{
  // Ends of the platinum scale [°C], and coefficients of its curve.
  const SCALE = [-200, 850];
  const A = 3.9083e-3;
  const B = -5.775e-7;
  const C = -4.183e-12;
  // Where no motor can be [°C].
  const TOO_HOT = 210;
  const TOO_COLD = -100;
  const HALVINGS = 60;

  // Resistance against that at 0 °C.
  const relative = (t) => 1 + A * t + B * t * t + (t < 0 ? C * (t - 100) * Math.pow(t, 3) : 0);
  const slope = (t) => A + 2 * B * t + (t < 0 ? C * (4 * Math.pow(t, 3) - 300 * t * t) : 0);

  // The curve solved by halving; undefined off its scale.
  const degreesOf = (wanted) => {
    let [low, high] = SCALE;
    if (!(wanted >= relative(low) && wanted <= relative(high))) return undefined;
    for (let n = 0; n < HALVINGS; n += 1) {
      const middle = (low + high) / 2;
      if (relative(middle) < wanted) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  };
  const state = (degrees) => {
    if (degrees > TOO_HOT) return "broken wire or bad joint";
    return degrees < TOO_COLD ? "bridged or wrong sensor" : "temperature";
  };

  sums["pt100-temperature"] = (i) => {
    const wanted = ratio(i.sensor_resistance, i.nominal_resistance);
    if (wanted === undefined) return {};
    const degrees = degreesOf(wanted);
    if (degrees !== undefined) return { temperature: kelvin(degrees), state: state(degrees) };
    const open = i.sensor_resistance > i.nominal_resistance;
    return {
      temperature: kelvin(SCALE[open ? 1 : 0]),
      state: open ? "open" : "short",
      notes: ["Off the sensor's scale; the temperature given is the end of the scale."],
    };
  };

  sums["pt100-resistance"] = (i) => {
    const degrees = given(celsius, i.sensor_temperature);
    const [fixed, perDegree] = i.sensor_class === "A" ? [0.15, 0.002] : [0.3, 0.005];
    return known({
      resistance: given((nominal, t) => nominal * relative(t), i.nominal_resistance, degrees),
      tolerance: given((t) => fixed + perDegree * Math.abs(t), degrees),
    });
  };

  sums["pt100-lead-error"] = (i) =>
    known({
      error: given(
        (leads, nominal, temperature) => leads / nominal / slope(celsius(temperature)),
        i.lead_resistance,
        i.nominal_resistance,
        i.sensor_temperature,
      ),
    });

  // A cold sensor [Ω], and what a loop's resistance [Ω] means to a relay.
  const COLD = [20, 100];
  const SHORT_BELOW = 20;
  const RESET_UP_TO = 1650;
  const NORMAL_UP_TO = 750;
  const TRIP_UP_TO = 4000;
  const loopState = (loop, sensors) => {
    if (loop < SHORT_BELOW) return "short";
    if (loop < COLD[0] * sensors) return "fewer sensors than stated";
    if (loop <= NORMAL_UP_TO) return "normal";
    if (loop <= RESET_UP_TO) return "hot or too many sensors";
    return loop <= TRIP_UP_TO ? "trip band" : "tripped or open";
  };

  sums["ptc-resistance"] = (i) => {
    const { ptc_resistance: loop, sensors_in_series: sensors } = i;
    return known({
      resistance: loop,
      resistance_per_sensor: ratio(loop, sensors),
      lowest_cold_resistance: given((n) => COLD[0] * n, sensors),
      highest_cold_resistance: given((n) => COLD[1] * n, sensors),
      state: given(loopState, loop, sensors),
    });
  };

  // Limit of the loop by its sensors' distance from their response temperature [K].
  const loopLimit = (offset, sensors) => {
    if (offset <= -20) return { highest_resistance: 250 * sensors };
    if (offset <= -5) return { highest_resistance: 550 * sensors };
    if (offset >= 15) return { lowest_resistance: 4000 * sensors };
    if (offset >= 5) return { lowest_resistance: 1330 * sensors };
    return { notes: ["Within 5 K of the response temperature the resistance is not fixed."] };
  };

  sums["ptc-limit"] = (i) => given(loopLimit, i.response_offset, i.sensors_in_series) || {};
}
