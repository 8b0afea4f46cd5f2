// The sums of unbalance.
// src/checks/unbalance.rs explains each with its source; these give the same.
{
  const negativeSequence = (a, b, c) => {
    const longest = Math.max(a, b, c);
    if (longest <= 0) {
      throw new Contradiction("no voltage on any line: there is no unbalance to compute");
    }
    if (longest > (a + b + c - longest) * 1.02) {
      throw new Contradiction(
        "three line voltages close a triangle, so none can be larger than the other two together; " +
          "measure line to line again",
      );
    }
    const [a2, b2, c2] = [a * a, b * b, c * c];
    const squares = a2 + b2 + c2;
    const beta = (a2 * a2 + b2 * b2 + c2 * c2) / (squares * squares);
    const root = Math.sqrt(Math.min(Math.max(3 - 6 * beta, 0), 1));
    return Math.sqrt((1 - root) / (1 + root));
  };

  // Unbalance in per cent and share of rated power.
  const DERATING_CURVE = [
    [0.5, 1.0],
    [1.5, 0.97],
    [2.0, 0.95],
    [2.5, 0.93],
    [3.0, 0.89],
    [3.5, 0.85],
    [4.0, 0.82],
    [4.5, 0.78],
    [5.0, 0.76],
  ];

  const unbalanceDerating = (unbalance) => onCurve(DERATING_CURVE, unbalance * 100);
  const addedTemperatureRise = (unbalance) => {
    const percent = unbalance * 100;
    return (2 * percent * percent) / 100;
  };

  const LOWEST_CURRENT_PER_VOLTAGE_UNBALANCE = 6;
  const HIGHEST_CURRENT_PER_VOLTAGE_UNBALANCE = 10;

  const NEGATIVE_SEQUENCE_LIMITS = {
    "en-50160": {
      limit: 0.02,
      note: "EN 50160: 2 % for 95 % of the ten-minute means of a week, 3 % in some areas (from memory).",
    },
    "iec-61000-2-4-class-2": {
      limit: 0.02,
      note: "IEC 61000-2-4 class 2, industrial network: 2 % (from memory).",
    },
    "iec-61000-2-4-class-3": {
      limit: 0.03,
      note: "IEC 61000-2-4 class 3, industrial network with large drives: 3 % (from memory).",
    },
  };

  sums["voltage-unbalance"] = (i) => {
    const spread = given(voltageSpread, i.voltage_l1_l2, i.voltage_l2_l3, i.voltage_l3_l1);
    if (spread === undefined) return {};
    return {
      unbalance: spread.unbalance,
      mean_voltage: spread.mean,
      lowest_share: spread.lowestShare,
      spread: spread.spread,
      notes: [
        "NEMA definition: largest deviation from the mean. |U2|/|U1| of IEC and EN is negative-sequence-unbalance; largest less smallest over the mean is neither.",
      ],
    };
  };

  sums["negative-sequence-unbalance"] = (i) => {
    const { limit, note } = NEGATIVE_SEQUENCE_LIMITS[i.rule];
    const unbalance = given(negativeSequence, i.voltage_l1_l2, i.voltage_l2_l3, i.voltage_l3_l1);
    return known({ unbalance, limit, share: ratio(unbalance, limit), notes: [note] });
  };

  sums["current-unbalance"] = (i) => {
    const spread = given(currentSpread, i.current_l1, i.current_l2, i.current_l3);
    if (spread === undefined) return {};
    return {
      unbalance: spread.unbalance,
      lowest_share: spread.lowestShare,
      mean_current: spread.mean,
    };
  };

  sums["unbalance-derating"] = (i) =>
    known({
      derating: given(unbalanceDerating, i.voltage_unbalance),
      added_temperature_rise: given(addedTemperatureRise, i.voltage_unbalance),
      notes: [
        "Read off a curve: good to ±2 % of rated power. The temperature rule is good to a fifth.",
      ],
    });

  sums["current-unbalance-from-voltage"] = (i) => {
    const times = (factor) => given((unbalance) => unbalance * factor, i.voltage_unbalance);
    const highest = times(HIGHEST_CURRENT_PER_VOLTAGE_UNBALANCE);
    return known({
      lowest_expected: times(LOWEST_CURRENT_PER_VOLTAGE_UNBALANCE),
      highest_expected: highest,
      unexplained: given(
        (current, explained) => Math.max(current - explained, 0),
        i.current_unbalance,
        highest,
      ),
    });
  };
}
