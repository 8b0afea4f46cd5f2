// The sums of insulation to earth. src/checks/insulation.rs explains each with its source; these
// must give the same.
{
  const MEGOHM = 1e6;
  const LEAST_OF_MOTOR = 5 * MEGOHM;
  const LEAST_OF_ANY = 1 * MEGOHM;

  sums["insulation-resistance"] = (i) => {
    const factor = given((own) => factorTo40(own, i.rule), i.winding_temperature);
    return known({
      resistance_at_40: given((reading, own) => reading * own, i.insulation_resistance, factor),
      correction: factor,
      least_reading: given((own) => Math.max(LEAST_OF_MOTOR / own, LEAST_OF_ANY), factor),
      uncorrected: i.insulation_resistance,
      notes: [correctionNote(i.rule)],
    });
  };

  const leastOfWinding = (rated, winding) => {
    const kilovolts = rated / 1000;
    if (winding === "before-1970") return (kilovolts + 1) * MEGOHM;
    return (winding === "form" && kilovolts >= 1 ? 100 : 5) * MEGOHM;
  };
  // Least resistance by rule, and how the rule is told.
  const MINIMA = {
    "ieee-43": [
      leastOfWinding,
      "By IEEE 43-2013; its 2000 edition asked 100 MΩ of DC armatures as well.",
    ],
    "iec-60204-1": [
      () => 1 * MEGOHM,
      "By IEC 60204-1 for a machine's power circuits as a whole, from memory; IEEE 43 asks more of a motor alone.",
    ],
    "neta-mts": [
      () => 100 * MEGOHM,
      "By ANSI/NETA MTS-2019 for equipment up to 600 V that doesn't rotate; not a limit for motors.",
    ],
    "megohm-per-kilovolt": [
      (rated) => Math.max(rated / 1000, 1) * MEGOHM,
      "By the old rule of one megohm per kilovolt; IEEE 43 asks for more.",
    ],
  };

  sums["insulation-minimum"] = (i) => {
    const [least, note] = MINIMA[i.rule];
    return known({
      least_resistance: given((rated) => least(rated, i.winding), i.motor_rated_voltage),
      notes: [note],
    });
  };

  const windingTest = (rated) => {
    if (rated < 1000) return [500, 500];
    if (rated <= 2500) return [500, 1000];
    if (rated <= 5000) return [1000, 2500];
    if (rated <= 12000) return [2500, 5000];
    return [5000, 10000];
  };
  // Highest rated voltage, test voltage, least resistance.
  const APPARATUS = [
    [250, 500, 25 * MEGOHM],
    [1000, 1000, 100 * MEGOHM],
    [2500, 1000, 500 * MEGOHM],
    [5000, 2500, 1500 * MEGOHM],
  ];
  const apparatusTest = (rated) => {
    const row = APPARATUS.find(([most]) => rated <= most);
    if (row) return row.slice(1);
    throw new Contradiction("the table for equipment that doesn't rotate is held here up to 5 kV");
  };
  const installationTest = (nominal, extraLow) => {
    if (extraLow) return [250, 0.5 * MEGOHM];
    return [nominal <= 500 ? 500 : 1000, 1 * MEGOHM];
  };
  const oneVoltage = ([test, least], note) => ({
    lowest_test_voltage: test,
    highest_test_voltage: test,
    least_resistance: least,
    note,
  });
  const testVoltage = (rated, rule, extraLow) => {
    switch (rule) {
      case "iec-60364-6":
        return oneVoltage(installationTest(rated, extraLow), "By IEC 60364-6.");
      case "iec-60204-1":
        return oneVoltage(
          [500, 1 * MEGOHM],
          "By IEC 60204-1, power circuits against the protective conductor.",
        );
      case "neta-mts":
        return oneVoltage(
          apparatusTest(rated),
          "By the NETA table for equipment that doesn't rotate.",
        );
      default: {
        const [lowest, highest] = windingTest(rated);
        return {
          lowest_test_voltage: lowest,
          highest_test_voltage: highest,
          note: "By IEEE 43 for windings; insulation-minimum gives the least reading.",
        };
      }
    }
  };

  sums["insulation-test-voltage"] = (i) => {
    if (i.rated_voltage === undefined) return {};
    const { note, ...results } = testVoltage(i.rated_voltage, i.rule, i.circuit === "extra-low");
    const notes = [note, "Disconnect the drive first: the test voltage destroys it."];
    return { ...results, notes };
  };
}
