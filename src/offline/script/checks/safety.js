// The figures behind the cautions. src/checks/safety.rs explains each with its source; these must give
// the same.
{
  sums["touch-limit"] = (i) => {
    const { voltage, rule } = TOUCH_LIMITS[i.situation];
    return { voltage, notes: [touchNote(rule)] };
  };

  // What may be left of a stored charge, by rule, and how the rule is told.
  const DISCHARGE = {
    "iec-60204-1": [{ voltage: 60, charge: 60e-6, time: 5 }, "By IEC 60204-1."],
    "iec-60204-1-plug": [
      { voltage: 60, charge: 60e-6, time: 1 },
      "By IEC 60204-1, pins of a plug.",
    ],
    "iec-61800-5-1": [{ voltage: 60, charge: 50e-6, time: 5 }, "By IEC 61800-5-1."],
  };

  sums["discharge-limit"] = (i) => {
    const [limit, note] = DISCHARGE[i.rule];
    const label = "Where the label states a waiting time, that rules; then prove dead.";
    return { ...limit, notes: [note, label] };
  };

  const TESTER_PROOF_ABOVE = 600;

  sums["tester-proof"] = (i) => {
    const duty = (voltage) => (voltage > TESTER_PROOF_ABOVE ? "law" : "good practice");
    return known({
      duty: given((voltage) => `required by ${duty(voltage)}`, i.circuit_voltage),
      law_above: TESTER_PROOF_ABOVE,
      notes: ["Prove the tester on a known source before and after, at every voltage."],
    });
  };

  // Voltages of the rows that are held; both have the same distances.
  const APPROACH = { ac: [151, 750], dc: [301, 1000] };

  sums["approach-distance"] = (i) => {
    const voltage = i.circuit_voltage;
    if (voltage === undefined) return {};
    const [from, to] = APPROACH[i.system];
    if (voltage < from || voltage > to) {
      throw new Contradiction(
        "the rows held are AC 151 V to 750 V and DC 301 V to 1 kV; take others from NFPA 70E itself",
      );
    }
    return {
      limited: 3.5 * FOOT,
      restricted: 1 * FOOT,
      notes: ["By NFPA 70E; local codes come first."],
    };
  };

  const CATEGORIES = ["II", "III", "IV"];
  // Least rated voltage of the row, and the impulse that each category stands [V].
  const IMPULSES = [
    [1000, [6e3, 8e3, 12e3]],
    [600, [4e3, 6e3, 8e3]],
    [300, [2.5e3, 4e3, 6e3]],
  ];

  sums["meter-fit"] = (i) => {
    const meter = CATEGORIES.indexOf(i.meter_category);
    const point = CATEGORIES.indexOf(i.point_category);
    const rating = i.meter_voltage_rating;
    const [, impulses] = IMPULSES.find(([least]) => rating >= least) || [0, []];
    return known({
      impulse_voltage: impulses[meter],
      voltage_share: ratio(i.point_voltage, rating),
      category_shortfall: Math.max(point - meter, 0),
    });
  };

  // Highest voltage to earth [V], longest time [s] in TN and in TT.
  const DISCONNECTION = [
    [120, 0.8, 0.3],
    [230, 0.4, 0.2],
    [400, 0.2, 0.07],
    [Infinity, 0.1, 0.04],
  ];

  sums["disconnection-time"] = (i) => {
    const tt = i.earthing === "TT";
    const rowOf = (voltage) => DISCONNECTION.find(([most]) => voltage <= most);
    return known({
      time: given((voltage) => rowOf(voltage)[tt ? 2 : 1], i.voltage_to_earth),
      notes: [tt ? "For a TT supply." : "For a TN supply."],
    });
  };
}
