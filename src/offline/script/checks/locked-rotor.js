// The sums of a motor's starting current.
// src/checks/locked_rotor.rs explains each with its source; these give the same.
{
  // Code letters with the lowest kVA per hp of each.
  const CODE_LETTERS = [
    ["A", 0],
    ["B", 3.15],
    ["C", 3.55],
    ["D", 4],
    ["E", 4.5],
    ["F", 5],
    ["G", 5.6],
    ["H", 6.3],
    ["J", 7.1],
    ["K", 8],
    ["L", 9],
    ["M", 10],
    ["N", 11.2],
    ["P", 12.5],
    ["R", 14],
    ["S", 16],
    ["T", 18],
    ["U", 20],
    ["V", 22.4],
  ];
  const LOWEST_STARTING_MULTIPLE = 6;
  const HIGHEST_STARTING_MULTIPLE = 8;

  const codeLetter = (figure) => CODE_LETTERS.filter(([, from]) => figure >= from).pop()[0];
  const codeLetterRange = (letter) => {
    const at = CODE_LETTERS.findIndex(([own]) => own === letter);
    const [, next] = CODE_LETTERS[at + 1] || [];
    return [CODE_LETTERS[at][1], next];
  };
  const lockedRotorCurrent = (figure, power, voltage) =>
    (figure * (power / HORSEPOWER_WATTS) * 1000) / (Math.sqrt(3) * voltage);

  sums["locked-rotor-current"] = (i) => {
    const figure = i.kva_per_hp;
    const marked = i.code_letter;
    if (marked === "unknown" && figure === undefined) {
      return {
        notes: [
          "Give the code letter or the kVA per hp from the nameplate; " +
            "without either see starting-current.",
        ],
      };
    }
    const letter = figure === undefined ? marked : codeLetter(figure);
    if (marked !== "unknown" && letter !== marked) {
      throw new Contradiction(
        `${figure} kVA per hp is code letter ${letter}, not ${marked}: which is on the nameplate?`,
      );
    }
    const [from, to] = figure === undefined ? codeLetterRange(letter) : [figure, figure];
    const current = (kvaPerHp) =>
      given(lockedRotorCurrent, kvaPerHp, i.motor_rated_power, i.motor_rated_voltage);
    return known({
      lowest_current: current(from),
      highest_current: current(to),
      lowest_kva_per_hp: from,
      highest_kva_per_hp: to,
      letter,
      ratio: ratio(i.starting_current, current(to)),
    });
  };

  sums["starting-current"] = (i) => {
    const times = (factor) => given((rated) => rated * factor, i.motor_rated_current);
    return known({
      lowest_expected: times(LOWEST_STARTING_MULTIPLE),
      highest_expected: times(HIGHEST_STARTING_MULTIPLE),
      ratio: ratio(i.starting_current, i.motor_rated_current),
    });
  };
}
