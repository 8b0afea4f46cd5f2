// The sums of cables. src/checks/cable.rs explains each with its source; these must give the same.
{
  // Largest resistance [Ω/km] at 20 °C, class 2: size [mm²], copper, aluminium.
  const METRIC = [
    [0.5, 36],
    [0.75, 24.5],
    [1, 18.1],
    [1.5, 12.1],
    [2.5, 7.41],
    [4, 4.61],
    [6, 3.08],
    [10, 1.83, 3.08],
    [16, 1.15, 1.91],
    [25, 0.727, 1.2],
    [35, 0.524, 0.868],
    [50, 0.387, 0.641],
    [70, 0.268, 0.443],
    [95, 0.193, 0.32],
    [120, 0.153, 0.253],
    [150, 0.124, 0.206],
    [185, 0.0991, 0.164],
    [240, 0.0754, 0.125],
    [300, 0.0601, 0.1],
  ];
  // Resistance [Ω/kft] at 75 °C: size [circular mils], copper stranded, aluminium stranded, copper solid.
  const CIRCULAR_MIL = [
    [4110, 3.14, 5.17, 3.07],
    [6530, 1.98, 3.25, 1.93],
    [10380, 1.24, 2.04, 1.21],
    [16510, 0.778, 1.28, 0.764],
    [26240, 0.491, 0.808],
    [41740, 0.308, 0.508],
    [52620, 0.245, 0.403],
    [66360, 0.194, 0.319],
    [83690, 0.154, 0.253],
    [105600, 0.122, 0.201],
    [133100, 0.0967, 0.159],
    [167800, 0.0766, 0.126],
    [211600, 0.0608, 0.1],
    [250000, 0.0515, 0.0847],
    [300000, 0.0429, 0.0707],
    [350000, 0.0367, 0.0605],
    [400000, 0.0321, 0.0529],
    [500000, 0.0258, 0.0424],
  ];
  const CIRCULAR_MIL_AREA = (Math.PI / 4) * 25.4e-6 * 25.4e-6;
  const SAME_SIZE = 0.005;
  // Resistivity at 20 °C [Ω·mm²/km], temperature coefficient at 20 °C and at 75 °C [1/K], and the
  // constant of the circular-mil rule [Ω·cmil/ft].
  const METALS = {
    copper: { resistivity: 17.241, at20: 0.00393, at75: 0.00323, mils: 12.9 },
    aluminium: { resistivity: 28.264, at20: 0.00403, at75: 0.0033, mils: 21.2 },
  };
  const metalOf = (i) => (i.conductor_metal === "aluminium" ? "aluminium" : "copper");

  const bySize = (table, size) => table.find(([own]) => Math.abs(own / size - 1) <= SAME_SIZE);

  const conductor = (area, metal, solid) => {
    const squareMillimetres = area / 1e-6;
    const { resistivity, at20, at75 } = METALS[metal];
    const metric = bySize(METRIC, squareMillimetres);
    if (metric) {
      const value = solid ? undefined : metric[metal === "copper" ? 1 : 2];
      if (value === undefined) {
        throw new Contradiction("the table has stranded conductors only, aluminium from 10 mm² up");
      }
      const table = "IEC 60228 class 2, largest value at 20 °C";
      return { perMetre: value / 1000, degrees: 20, coefficient: at20, table };
    }
    const american = bySize(CIRCULAR_MIL, area / CIRCULAR_MIL_AREA);
    if (american) {
      const [, stranded, aluminium, oneWire] = american;
      const value =
        metal === "copper" ? (solid ? oneWire : stranded) : solid ? undefined : aluminium;
      if (value === undefined) {
        throw new Contradiction("the table has solid conductors from 14 to 8 AWG in copper only");
      }
      const table = "NEC Chapter 9 Table 8, uncoated, at 75 °C";
      return { perMetre: value / (1000 * FOOT), degrees: 75, coefficient: at75, table };
    }
    const table = "no table size: resistivity over cross-section at 20 °C";
    const perMetre = resistivity / squareMillimetres / 1000;
    return { perMetre, degrees: 20, coefficient: at20, table };
  };

  const resistancePerMetre = ({ perMetre, degrees, coefficient }, temperature) =>
    perMetre * (1 + coefficient * (celsius(temperature) - degrees));

  sums["conductor-resistance"] = (i) => {
    if (i.conductor_area === undefined) return {};
    const own = conductor(i.conductor_area, metalOf(i), i.conductor_build === "solid");
    const temperature =
      i.conductor_temperature === undefined ? kelvin(own.degrees) : i.conductor_temperature;
    const perMetre = resistancePerMetre(own, temperature);
    const resistance = given((length) => perMetre * length, i.cable_length);
    return known({
      resistance_per_length: perMetre,
      resistance,
      ratio: ratio(i.measured_resistance, resistance),
      notes: [`From: ${own.table}.`],
    });
  };

  // How many times one conductor's drop counts.
  const conductors = (i) => (i.supply_phases === "one" ? 2 : Math.sqrt(3));

  const circularMilDrop = (i) => (current, length, area) =>
    (conductors(i) * METALS[metalOf(i)].mils * current * (length / FOOT)) /
    (area / CIRCULAR_MIL_AREA);

  const impedanceDrop = (i) => (current, length, area) => {
    const own = conductor(area, metalOf(i), false);
    return given(
      (temperature, reactance, powerFactor) => {
        const sine = Math.sqrt(1 - powerFactor * powerFactor);
        const impedance = resistancePerMetre(own, temperature) * powerFactor + reactance * sine;
        return current * impedance * (length * conductors(i));
      },
      i.conductor_temperature,
      i.reactance_per_length,
      i.load_power_factor,
    );
  };

  sums["voltage-drop"] = (i) => {
    const byMils = i.rule === "circular-mil";
    const rule = byMils ? circularMilDrop(i) : impedanceDrop(i);
    const drop = given(rule, i.load_current, i.cable_length, i.conductor_area);
    return known({
      drop,
      drop_share: ratio(drop, i.supply_voltage),
      notes: [
        byMils
          ? "By the circular-mil rule at 75 °C; power factor and reactance left out."
          : "From resistance and reactance.",
      ],
    });
  };
}
