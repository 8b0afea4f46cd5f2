// The sums of overload and its protection.
// src/checks/overload.rs explains each with its source; these give the same.
{
  const timeByExcessHeat = (current, overload, time) =>
    current * current - 1 > 0
      ? time * ((overload * overload - 1) / (current * current - 1))
      : undefined;
  const timeByAllHeat = (current, overload, time) =>
    current * current > 1 ? time * ((overload * overload) / (current * current)) : undefined;

  const baseLoad = (overload, time, cycle) => {
    if (cycle <= time) {
      throw new Contradiction("the cycle must be longer than the overload in it");
    }
    const square = (cycle - time * overload * overload) / (cycle - time);
    if (square < 0) {
      throw new Contradiction(
        "the overload alone heats more than rated current does over the whole cycle: " +
          "no base load is left",
      );
    }
    return Math.sqrt(square);
  };

  // Highest setting and ceiling, of the nameplate current.
  const codeSettingLimits = (serviceFactor, rise) =>
    serviceFactor >= 1.15 - 1e-9 || rise <= 40 + 1e-9 ? [1.25, 1.4] : [1.15, 1.3];
  const protectorLimit = (tableCurrent) =>
    tableCurrent <= 9 ? 1.7 : tableCurrent <= 20 ? 1.56 : 1.4;

  const MOTOR_EXCESS_CURRENT = 1.5;
  const MOTOR_EXCESS_CURRENT_TIME = 120;
  const MOTOR_EXCESS_TORQUE = 1.6;
  const MOTOR_EXCESS_TORQUE_TIME = 15;

  sums["drive-current-to-rating"] = (i) =>
    known({ ratio: ratio(i.output_current, i.drive_rated_current) });

  sums["overload-time-left"] = (i) => {
    const current = ratio(i.output_current, i.drive_rated_current);
    const overload = i.drive_overload;
    const allHeat = i.rule === "all-heat";
    const rule = allHeat ? timeByAllHeat : timeByExcessHeat;
    const time = given(rule, current, overload, i.drive_overload_time);
    const notes = [
      allHeat ? "All heat counted, as in a first moment." : "Heat above rated current counted.",
    ];
    if (current !== undefined && time === undefined) {
      notes.push("At or below the rating: the time never runs out.");
    }
    return known({ time, ratio: current, to_overload: ratio(current, overload), notes });
  };

  sums["overload-base-load"] = (i) => {
    const usual = DUTIES[i.drive_duty];
    const [overload, time, cycle] = [
      i.drive_overload,
      i.drive_overload_time,
      i.overload_cycle,
    ].map((value, at) => (value === undefined ? usual[at] : value));
    return {
      base_load: baseLoad(overload, time, cycle),
      overload,
      overload_time: time,
      cycle,
      notes: ["What was not given is the duty's usual rating; the drive's nameplate decides."],
    };
  };

  sums["overload-setting"] = (i) =>
    known({ ratio: ratio(i.overload_setting, i.motor_rated_current) });

  sums["overload-setting-nec"] = (i) => {
    const rated = i.motor_rated_current;
    const [highest, ceiling] =
      given(
        (factor, current) =>
          codeSettingLimits(factor, i.motor_temperature_rise).map((limit) => current * limit),
        i.motor_service_factor,
        rated,
      ) || [];
    return known({
      highest_setting: highest,
      ceiling,
      to_highest: ratio(i.overload_setting, highest),
      to_ceiling: ratio(i.overload_setting, ceiling),
    });
  };

  sums["thermal-protector"] = (i) =>
    known({
      limit: given(protectorLimit, i.table_current),
      trip_current: given((current) => current * protectorLimit(current), i.table_current),
    });

  sums["motor-occasional-overload"] = (i) => {
    const current = ratio(i.motor_current, i.motor_rated_current);
    return known({
      ratio: current,
      excess_current: MOTOR_EXCESS_CURRENT,
      excess_current_time: MOTOR_EXCESS_CURRENT_TIME,
      excess_torque: MOTOR_EXCESS_TORQUE,
      excess_torque_time: MOTOR_EXCESS_TORQUE_TIME,
      beyond: given(
        (lasted, times) => (times > 1 ? Math.max(lasted - MOTOR_EXCESS_CURRENT_TIME, 0) : 0),
        i.overload_duration,
        current,
      ),
    });
  };
}
