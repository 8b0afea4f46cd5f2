// Motor currents by horsepower.
// src/checks/motor_table.rs explains each with its source; these give the same.
{
  // Lowest and highest rated voltage that belongs to each column of the table of full-load current.
  const COLUMNS = [
    [200, 200],
    [208, 208],
    [220, 240],
    [440, 480],
    [550, 600],
  ];
  // Horsepower, then full-load current in amperes for each column.
  const FULL_LOAD = [
    [0.5, 2.5, 2.4, 2.2, 1.1, 0.9],
    [0.75, 3.7, 3.5, 3.2, 1.6, 1.3],
    [1, 4.8, 4.6, 4.2, 2.1, 1.7],
    [1.5, 6.9, 6.6, 6.0, 3.0, 2.4],
    [2, 7.8, 7.5, 6.8, 3.4, 2.7],
    [3, 11.0, 10.6, 9.6, 4.8, 3.9],
    [5, 17.5, 16.7, 15.2, 7.6, 6.1],
    [7.5, 25.3, 24.2, 22.0, 11.0, 9.0],
    [10, 32.2, 30.8, 28.0, 14.0, 11.0],
    [15, 48.3, 46.2, 42.0, 21.0, 17.0],
    [20, 62.1, 59.4, 54.0, 27.0, 22.0],
    [25, 78.2, 74.8, 68.0, 34.0, 27.0],
    [30, 92.0, 88.0, 80.0, 40.0, 32.0],
    [40, 120.0, 114.0, 104.0, 52.0, 41.0],
    [50, 150.0, 143.0, 130.0, 65.0, 52.0],
    [60, 177.0, 169.0, 154.0, 77.0, 62.0],
    [75, 221.0, 211.0, 192.0, 96.0, 77.0],
    [100, 285.0, 273.0, 248.0, 124.0, 99.0],
    [125, 359.0, 343.0, 312.0, 156.0, 125.0],
    [150, 414.0, 396.0, 360.0, 180.0, 144.0],
    [200, 552.0, 528.0, 480.0, 240.0, 192.0],
  ];
  // Horsepower and locked-rotor current in amperes at the voltage below.
  const LOCKED_ROTOR = [
    [1, 15],
    [2, 25],
    [3, 32],
    [5, 46],
    [7.5, 63.5],
    [10, 81],
    [15, 116],
    [20, 145],
    [25, 183],
    [30, 218],
    [40, 290],
    [50, 363],
    [60, 435],
    [75, 543],
    [100, 725],
    [150, 1085],
    [200, 1450],
  ];
  const LOCKED_ROTOR_VOLTAGE = 460;

  const rowOf = (table, power) => {
    const horsepower = power / HORSEPOWER_WATTS;
    const row = table.find(([size]) => Math.abs(horsepower / size - 1) <= 0.04);
    if (row) return row;
    const sizes = table.map(([size]) => size).join(", ");
    throw new Contradiction(`the table has no such motor; its sizes in hp are ${sizes}`);
  };

  const tableFullLoadCurrent = (power, voltage) => {
    const column = COLUMNS.findIndex(([least, most]) => voltage >= least && voltage <= most);
    if (column < 0) {
      throw new Contradiction(
        "the table has columns for 200, 208, 220 to 240, 440 to 480 and 550 to 600 V only; " +
          "use the nameplate's current",
      );
    }
    return rowOf(FULL_LOAD, power)[column + 1];
  };
  const tableLockedRotorCurrent = (power, voltage) =>
    rowOf(LOCKED_ROTOR, power)[1] * (LOCKED_ROTOR_VOLTAGE / voltage);

  sums["table-full-load-current"] = (i) => {
    const current = given(tableFullLoadCurrent, i.motor_rated_power, i.motor_rated_voltage);
    return known({
      current,
      ratio: ratio(i.motor_rated_current, current),
      notes: [
        "For conductors and short-circuit protection. Set the overload protection by the nameplate.",
      ],
    });
  };

  sums["table-locked-rotor-current"] = (i) => {
    const current = given(tableLockedRotorCurrent, i.motor_rated_power, i.motor_rated_voltage);
    return known({ current, ratio: ratio(i.starting_current, current) });
  };
}
