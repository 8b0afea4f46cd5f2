// The sums of a motor with one line open.
// src/checks/single_phasing.rs explains each with its source; these give the same.
{
  const LINE_CURRENT_MULTIPLE = Math.sqrt(3);
  const HIDDEN_LOAD = 1 / LINE_CURRENT_MULTIPLE;
  const DELTA_WINDING_MULTIPLE = (LINE_CURRENT_MULTIPLE * (2 / 3)) / (1 / Math.sqrt(3));

  const OPEN_BELOW = 0.1;
  const STARTING_ABOVE = 4;
  const UNBALANCED_ABOVE = 0.1;

  const pattern = (lines, spread, highestRatio) => {
    if (spread.lowestShare < OPEN_BELOW) {
      return `line ${lines.indexOf(Math.min(...lines)) + 1} open`;
    }
    if (highestRatio > STARTING_ABOVE) return "starting or held";
    return spread.unbalance > UNBALANCED_ABOVE ? "unbalanced" : "balanced";
  };

  sums["single-phasing"] = (i) => {
    const expected = given(
      (rated, load) => rated * load * LINE_CURRENT_MULTIPLE,
      i.motor_rated_current,
      i.load_share,
    );
    return known({
      line_current: expected,
      multiple: LINE_CURRENT_MULTIPLE,
      delta_winding_multiple: DELTA_WINDING_MULTIPLE,
      hidden_load: HIDDEN_LOAD,
      ratio: expected > 0 ? ratio(i.motor_current, expected) : undefined,
      notes: ["A motor at rest does not start with one line open: it hums and heats."],
    });
  };

  sums["line-current-pattern"] = (i) => {
    const lines = [i.current_l1, i.current_l2, i.current_l3];
    const spread = given(currentSpread, ...lines);
    if (spread === undefined) return {};
    const highestRatio = ratio(Math.max(...lines), i.motor_rated_current);
    return known({
      pattern: pattern(lines, spread, highestRatio),
      lowest_share: spread.lowestShare,
      unbalance: spread.unbalance,
      highest_ratio: highestRatio,
    });
  };
}
