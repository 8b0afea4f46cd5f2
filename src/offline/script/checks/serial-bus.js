// The sums of serial lines. src/checks/serial_bus.rs explains each with its source; these must give the
// same.
{
  // Bit rate above which the silent times of a frame are fixed, and these times [s].
  const FIXED_ABOVE = 19200;
  const FIXED_FRAME_GAP = 1.75e-3;
  const FIXED_CHARACTER_GAP = 0.75e-3;

  const characterTime = (rate, bits, characters) => (characters * bits) / rate;
  const frameGap = (rate, bits) =>
    rate > FIXED_ABOVE ? FIXED_FRAME_GAP : characterTime(rate, bits, 3.5);
  const characterGap = (rate, bits) =>
    rate > FIXED_ABOVE ? FIXED_CHARACTER_GAP : characterTime(rate, bits, 1.5);

  sums["modbus-timing"] = (i) => {
    const line = [i.bit_rate, i.bits_per_character];
    const gap = given(frameGap, ...line);
    const frame = given(characterTime, ...line, i.frame_bytes);
    return known({
      frame_gap: gap,
      character_gap: given(characterGap, ...line),
      frame_time: frame,
      frame_and_gap: given((one, other) => one + other, frame, gap),
    });
  };

  const UNIT_LOAD = 12000;
  const termination = (i) => {
    const unitLoads = i.unit_loads === undefined ? 0 : i.unit_loads;
    const conductance = given(
      (count, each) => count / each + unitLoads / UNIT_LOAD,
      i.terminators,
      i.terminator_resistance,
    );
    if (conductance <= 0) {
      throw new Contradiction(
        "without a terminator or a device the line is open: there is no resistance to expect",
      );
    }
    const expected = given((own) => 1 / own, conductance);
    return known({ expected_resistance: expected, ratio: ratio(i.line_resistance, expected) });
  };
  sums["rs485-termination"] = termination;
  sums["can-termination"] = termination;

  const RECEIVER_THRESHOLD = 0.2;

  sums["rs485-idle"] = (i) =>
    known({
      voltage: i.idle_voltage,
      expected_voltage: given(
        (supply, each, line) => supply * (line / (each * 2 + line)),
        i.bias_supply_voltage,
        i.bias_resistance,
        i.terminated_resistance,
      ),
      receiver_threshold: RECEIVER_THRESHOLD,
    });

  // Highest bit rate, longest line by the more cautious and by the more generous table [m].
  const LINE_LENGTHS = [
    [50e3, 1000, 1000],
    [125e3, 500, 500],
    [250e3, 250, 250],
    [500e3, 100, 100],
    [1000e3, 25, 40],
  ];
  const FASTEST = LINE_LENGTHS[LINE_LENGTHS.length - 1];

  sums["can-length"] = (i) => {
    const rowOf = (rate) => LINE_LENGTHS.find(([most]) => rate <= most) || FASTEST;
    const [, longest, generous] = given(rowOf, i.bit_rate) || [];
    return known({
      longest_line: longest,
      generous_length: generous,
      share: ratio(i.line_length, longest),
      notes: ["Tables differ at 1 Mbit/s, 25 m and 40 m; the shorter one is used."],
    });
  };

  // Nominal voltages of both wires, and limits of their difference [V].
  const LEVELS = {
    recessive: { high: 2.5, low: 2.5, limits: [-0.5, 0.05] },
    dominant: { high: 3.5, low: 1.5, limits: [1.5, 3] },
  };

  sums["can-levels"] = (i) => {
    const { high, low, limits } = LEVELS[i.line_state];
    const [least, largest] = limits;
    const own = difference(i.can_high_voltage, i.can_low_voltage);
    return known({
      difference: own,
      expected_high: high,
      expected_low: low,
      expected_difference: high - low,
      least_difference: least,
      largest_difference: largest,
      outside: given((value) => Math.max(least - value, value - largest, 0), own),
    });
  };
}
