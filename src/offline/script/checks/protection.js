// The sums of protective and switching devices. src/checks/protection.rs explains each with its source;
// these must give the same.
{
  const IN_SERVICE = 0.3;
  // Whether a residual-current device of a type suits a drive behind it, and why.
  const RCD_TYPES = {
    B: ["yes", "Type B sees smooth dc as well, which a three-phase drive can leak."],
    F: [
      "single-phase drives only",
      "Type F suits single-phase drives; smooth dc of a three-phase drive can blind it.",
    ],
    A: [
      "no",
      "Type A can be blinded by the smooth dc of a three-phase drive: where that may flow, type B is asked for.",
    ],
    AC: ["no", "Type AC sees sine currents only: a drive's fault current can pass it unseen."],
  };

  sums["residual-current"] = (i) => {
    const [suits, note] = RCD_TYPES[i.rcd_type];
    return known({
      ratio: ratio(i.residual_current, i.rcd_rating),
      suits,
      highest_in_service: given((rated) => rated * IN_SERVICE, i.rcd_rating),
      notes: [note],
    });
  };

  // Where a coil must pull in, relative to its rated voltage, with the rule's name.
  const COILS = {
    contactor: [0.85, 1.1, "IEC 60947-4-1, from memory"],
    brake: [0.9, 1.1, "a habit of the trade for brake coils; the brake's plate rules"],
  };

  sums["coil-voltage"] = (i) => {
    const [low, high, rule] = COILS[i.device];
    const rated = i.coil_rated_voltage;
    const share = ratio(given(Math.abs, i.coil_voltage), rated);
    return known({
      ratio: share,
      lowest_voltage: given((own) => own * low, rated),
      highest_voltage: given((own) => own * high, rated),
      beyond: given((own) => beyond(own, [low, high]), share),
      notes: [`Limits by ${rule}.`],
    });
  };

  sums["touch-voltage"] = (i) => {
    const { voltage, rule } = TOUCH_LIMITS[i.situation];
    const local = i.local_limit;
    const limit = local === undefined ? voltage : Math.min(local, voltage);
    return known({
      limit,
      ratio: ratio(given(Math.abs, i.touch_voltage), limit),
      notes: [
        touchNote(local === undefined ? rule : `the lower of the local rules and that of ${rule}`),
      ],
    });
  };
}
