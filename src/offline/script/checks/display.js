// A drive's speed display against the shaft.
// src/checks/display.rs explains it with its source; this gives the same.
{
  const displayRatio = (shown, measured) => {
    if (measured <= 0) {
      throw new Contradiction("the shaft stands still: measure it while it runs steadily");
    }
    return shown / measured;
  };

  const MIX_UPS = [
    [2, "twice: half the poles set, 2 for 4 or 4 for 8"],
    [0.5, "half: twice the poles set, 4 for 2 or 8 for 4"],
    [1.5, "one and a half: 4 poles set for 6"],
    [2 / 3, "two thirds: 6 poles set for 4"],
    [4 / 3, "four thirds: 6 poles set for 8"],
    [0.75, "three quarters: 8 poles set for 6"],
    [60 / 50, "six fifths: 60 Hz set for 50 Hz"],
    [50 / 60, "five sixths: 50 Hz set for 60 Hz"],
  ];
  const looksLike = (times) => {
    if (times >= 0.99 && times <= 1.06) return "as it should be";
    const near = MIX_UPS.find(([figure]) => Math.abs(times / figure - 1) <= 0.06);
    return near ? near[1] : "no usual mix-up: a gear, a pulley or a display scale";
  };

  sums["speed-display"] = (i) => {
    const times = given(displayRatio, i.displayed_speed, i.measured_speed);
    return known({ ratio: times, looks_like: given(looksLike, times) });
  };
}
