// A drive against what hangs on it.
// src/checks/sizing.rs explains each sum with its source; these give the same.
{
  sums["duty-rating"] = (i) => {
    const [usual, usualTime, cycle] = DUTIES[i.drive_duty];
    const marked = i.drive_overload;
    const overload = marked === undefined ? usual : marked;
    const [drive, motor] = [i.drive_rated_current, i.motor_rated_current];
    const highest = given((rated) => rated * overload, drive);
    const steady = ratio(motor, drive);
    const short = given((share, wanted) => (share * wanted) / overload, steady, i.overload_wanted);
    return known({
      size: ratio(drive, motor),
      overload_current: highest,
      overload_time: i.drive_overload_time === undefined ? usualTime : i.drive_overload_time,
      overload_cycle: cycle,
      motor_overload: ratio(highest, motor),
      ratio: short === undefined ? steady : Math.max(steady, short),
      notes: [
        marked === undefined
          ? `Reckoned as ${i.drive_duty} duty, a habit of the trade; the drive's nameplate decides.`
          : "By the overload on the drive's nameplate.",
      ],
    });
  };

  sums["several-motors"] = (i) => {
    const motors = given(
      (count, each, others) => each * count + others,
      i.motor_count,
      i.motor_rated_current,
      i.other_motors_current,
    );
    const charging = given(
      (length, perMetre, frequency, supply) =>
        pulseChargingCurrent(frequency, length * perMetre, busAtRest(supply)),
      i.total_cable_length,
      i.cable_capacitance,
      i.switching_frequency,
      i.supply_voltage,
    );
    const total = given((sum) => sum + (charging === undefined ? 0 : charging), motors);
    const notes = [
      "The drive sees the sum only: give each motor its own overload relay, wired to stop the drive.",
    ];
    if (charging === undefined) {
      notes.push(
        "The cables' charging current is left out: it takes the supply voltage and the summed cable length.",
      );
    }
    return known({
      motors_current: motors,
      charging_current: charging,
      ratio: ratio(total, i.drive_rated_current),
      cable_share: ratio(i.total_cable_length, i.longest_total_cable),
      notes,
    });
  };
}
