// What heats a motor beside its load.
// src/checks/motor_cooling.rs explains each sum with its source; these give the same.
{
  // Share of rated frequency, and of rated torque for hours with the shaft's own fan.
  const OWN_FAN = [
    [0, 0.4],
    [0.1, 0.55],
    [0.2, 0.65],
    [0.5, 0.9],
    [1, 1],
  ];

  const continuousTorque = (frequency, rated, ownFan) => {
    const speed = frequency / rated;
    if (speed >= 1) return 1 / speed;
    return ownFan ? onCurve(OWN_FAN, speed) : 1;
  };

  // Horsepower, then for 2, 4 and 6 poles: starts an hour, largest product of starts and load
  // inertia in lb·ft², rest between starts in seconds.
  const STARTS = [
    [1, [15, 1.2, 75], [30, 5.8, 38], [34, 15, 33]],
    [1.5, [12.9, 1.8, 76], [25.7, 8.6, 38], [29.1, 23, 34]],
    [2, [11.5, 2.4, 77], [23, 11, 39], [26.1, 30, 35]],
    [3, [9.9, 3.5, 80], [19.8, 17, 40], [22.4, 44, 36]],
    [5, [8.1, 5.7, 83], [16.3, 27, 42], [18.4, 71, 37]],
    [7.5, [7, 8.3, 88], [13.9, 39, 44], [15.8, 104, 39]],
    [10, [6.2, 11, 92], [12.5, 51, 46], [14.2, 137, 41]],
    [15, [5.4, 16, 100], [10.7, 75, 50], [12.1, 200, 44]],
    [20, [4.8, 21, 110], [9.6, 99, 55], [10.9, 262, 48]],
    [25, [4.4, 26, 115], [8.8, 122, 58], [10, 324, 51]],
    [30, [4.1, 31, 120], [8.2, 144, 60], [9.3, 384, 53]],
    [40, [3.7, 40, 130], [7.4, 189, 65], [8.4, 503, 57]],
    [50, [3.4, 49, 145], [6.8, 232, 72], [7.7, 620, 64]],
    [60, [3.2, 58, 170], [6.3, 275, 85], [7.2, 735, 75]],
    [75, [2.9, 71, 180], [5.8, 338, 90], [6.6, 904, 79]],
    [100, [2.6, 92, 220], [5.2, 441, 110], [5.9, 1181, 97]],
    [125, [2.4, 113, 275], [4.8, 542, 140], [5.4, 1452, 120]],
    [150, [2.2, 133, 320], [4.5, 640, 160], [5.1, 1719, 140]],
    [200, [2, 172, 600], [4, 831, 300], [4.5, 2238, 265]],
    [250, [1.8, 210, 1000], [3.7, 1017, 500], [4.2, 2744, 440]],
  ];
  const HORSEPOWER = 745.6999;
  const POUND_FOOT_SQUARED = 0.04214011;

  const allowedStarts = (power, poles, loadInertia) => {
    const column = [2, 4, 6].indexOf(Math.round(poles)) + 1;
    if (column < 1) {
      throw new Contradiction("the table has 2, 4 and 6 poles; ask the motor's maker for others");
    }
    // A metric rating a little above its sister in horsepower (0.75 kW, 1 hp) takes the same row.
    const row = STARTS.find(([size]) => power / HORSEPOWER <= size * 1.02);
    if (row === undefined) {
      throw new Contradiction("the table ends at 250 hp (186 kW); ask the motor's maker");
    }
    const [most, product, rest] = row[column];
    const byInertia =
      loadInertia === undefined ? Infinity : product / (loadInertia / POUND_FOOT_SQUARED);
    return { starts: Math.min(most, byInertia), rest };
  };

  sums["low-speed-cooling"] = (i) => {
    const ownFan = i.cooling !== "separate-fan";
    const allowed = given(
      (frequency, rated) => continuousTorque(frequency, rated, ownFan),
      i.output_frequency,
      i.motor_rated_frequency,
    );
    return known({
      allowed_torque: allowed,
      ratio: ratio(i.torque_share, allowed),
      notes: [
        ownFan
          ? "For a fan on the motor's own shaft."
          : "For a separate fan: make sure that it runs.",
      ],
    });
  };

  sums["motor-starts"] = (i) => {
    const allowed =
      given(
        (power, poles) => allowedStarts(power, poles, i.load_inertia_at_motor),
        i.motor_rated_power,
        i.motor_poles,
      ) || {};
    return known({
      allowed_starts: allowed.starts,
      rest: allowed.rest,
      ratio: ratio(i.starts_per_hour, allowed.starts),
    });
  };
}
