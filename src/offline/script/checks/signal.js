// The sums of control signals. src/checks/signal.rs explains each with its source; these must give the
// same.
{
  const NOMINAL_24_V = 24;
  const MEAN_24_V = [20.4, 28.8];
  const RIPPLE_24_V = 1.2;

  sums["control-supply"] = (i) =>
    known({
      deviation: given((own) => (own - NOMINAL_24_V) / NOMINAL_24_V, i.control_voltage),
      lowest_mean: MEAN_24_V[0],
      highest_mean: MEAN_24_V[1],
      lowest_instantaneous: MEAN_24_V[0] - RIPPLE_24_V,
      highest_instantaneous: MEAN_24_V[1] + RIPPLE_24_V,
    });

  const OFF_FROM = -3;
  const OFF_TO = 5;
  const ON_TO = 30;
  // By type of input: on from [V], least and most current when on [A].
  const INPUT_TYPES = { 1: [15, 2e-3, 15e-3], 2: [11, 6e-3, 30e-3], 3: [11, 2e-3, 15e-3] };
  const inputState = (voltage, onFrom) => {
    if (voltage < OFF_FROM) return "below range";
    if (voltage <= OFF_TO) return "off";
    if (voltage < onFrom) return "undefined";
    return voltage <= ON_TO ? "on" : "above range";
  };

  sums["digital-input"] = (i) => {
    const voltage = i.input_voltage;
    const [onFrom, leastCurrent, mostCurrent] = INPUT_TYPES[i.input_type];
    return known({
      input_voltage: voltage,
      state: given((own) => inputState(own, onFrom), voltage),
      undefined_by: given((own) => Math.max(Math.min(own - OFF_TO, onFrom - own), 0), voltage),
      off_from: OFF_FROM,
      off_to: OFF_TO,
      on_from: onFrom,
      on_to: ON_TO,
      least_current: leastCurrent,
      most_current: mostCurrent,
      notes: [`Judged as an input of type ${i.input_type}.`],
    });
  };

  const LIVE_ZERO = 4e-3;
  const SPAN = 16e-3;
  const NANOAMPERE = 1e-9;
  // Ends of the strips of a loop current [A].
  const FAILURE_LOW = 3.6e-3;
  const VALID_FROM = 3.8e-3;
  const VALID_TO = 20.5e-3;
  const FAILURE_HIGH = 21e-3;
  // In whole nanoamperes, so that a figure on the limit falls on its own side.
  const nanoamperes = (current) => Math.round(current / NANOAMPERE);
  const loopState = (current) => {
    const own = nanoamperes(current);
    if (own <= nanoamperes(FAILURE_LOW)) return "failure low";
    if (own >= nanoamperes(FAILURE_HIGH)) return "failure high";
    const valid = own >= nanoamperes(VALID_FROM) && own <= nanoamperes(VALID_TO);
    return valid ? "valid" : "between bands";
  };
  // How far a current lies inside a strip that is neither valid nor failure.
  const intoGap = (current) => {
    const inside = (low, high) => Math.min(current - low, high - current);
    const depth = Math.max(inside(FAILURE_LOW, VALID_FROM), inside(VALID_TO, FAILURE_HIGH));
    return depth < NANOAMPERE ? 0 : depth;
  };

  sums["loop-current"] = (i) => {
    const current = i.loop_current;
    const share = given((own) => (own - LIVE_ZERO) / SPAN, current);
    return known({
      share,
      current,
      state: given(loopState, current),
      into_gap: given(intoGap, current),
      frequency: given(
        (low, high, own) => low + (high - low) * own,
        i.scale_low,
        i.scale_high,
        share,
      ),
      voltage: given((own, resistance) => own * resistance, current, i.burden_resistance),
    });
  };

  sums["voltage-signal"] = (i) => known({ share: ratio(i.signal_voltage, i.full_scale_voltage) });
}
