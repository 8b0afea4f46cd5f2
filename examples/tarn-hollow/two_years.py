"""Two years of incidents of Tarn Hollow bottling, an invented plant, one JSON record a line.

Run in this folder: python3 two_years.py > two-years.jsonl

Everything is invented, patterns included, so that the statistics have something to find: a dip and a
switching event that hit several drives at once, a terminal box that gets wet with every wash-down until
its gland is replaced, hot summers, a braking resistor that wears out, a night shift that starts a cold
line, and a gearbox that gets worse. The seed is fixed: the same script gives the same file.
"""

import json
import random
from datetime import datetime, timedelta

dice = random.Random(14224)
START, END = datetime(2024, 12, 1), datetime(2026, 11, 20)
records = []


def some(low, high, step=5):
    return dice.randrange(low, high + 1, step)


def add(at, drive, klass, words, cause=None, confirmed_by="measured", done="", readings=(), proof="",
        parts="", downtime=(20, 90), moment="", who=None, notes="", display="", note=""):
    record = {"occurred_at": at.strftime("%Y-%m-%d %H:%M:%S" if at.second else "%Y-%m-%d %H:%M"),
              "drive": drive, "class": klass, "words": words}
    for name, text in (("display", display), ("moment", moment)):
        if text:
            record[name] = text
    if readings:
        record["readings"] = [{"what": what, "value": value} for what, value in readings]
    if cause or note:
        record["status"] = "likely" if confirmed_by == "presumed" else "confirmed"
        if cause:
            record["cause"] = cause
        if note:
            record["cause_note"] = note
        record["confirmed_by"] = confirmed_by
    else:
        record["status"] = "unresolved"
    for name, text in (("done", done), ("parts", parts), ("proof", proof), ("notes", notes)):
        if text:
            record[name] = text
    stood = some(*downtime)
    if dice.random() > 0.06:
        record["downtime_minutes"] = stood
    record["labour_minutes"] = max(10, int(stood * dice.uniform(0.5, 1.1)) // 5 * 5)
    record["who"] = who or dice.choice(["RB", "KM", "TA", "JO", "SF"])
    records.append(record)


def any_time(start, end):
    """Any time: three shifts, seven days."""
    day = start + timedelta(days=dice.uniform(0, (end - start).days))
    return day.replace(hour=dice.randrange(24), minute=some(0, 55), second=0, microsecond=0)


def by_night(start, end):
    day = start + timedelta(days=dice.uniform(0, (end - start).days))
    return day.replace(hour=dice.choice([22, 23, 0, 1, 2, 3, 4]), minute=some(0, 55), second=0, microsecond=0)


# A dip on the public supply takes four drives; a switched capacitor bank takes three.
dip = datetime(2025, 7, 8, 16, 42, 5)
for seconds, drive, volts in ((0, "centrifuge", 318), (1, "chiller-pump", 322), (3, "filler", 331), (44, "compressor-room-fan", 326)):
    add(dip + timedelta(seconds=seconds), drive, "dc-undervoltage-running",
        "Undervoltage while running, lights went dim", "supply-dip", "measured",
        "Waited for the supply, checked that the voltages were back, started one by one.",
        [("lowest line voltage in the infeed's record", f"{volts} V")], "All four ran on at 399 V.",
        downtime=(35, 70), who="KM", moment="steady running", notes="Infeed meter shows a dip of a quarter second at the same time.")
bank = datetime(2026, 2, 19, 6, 58, 12)
for seconds, drive in ((0, "conveyor-1"), (2, "labeller-spindle"), (2, "conveyor-2")):
    add(bank + timedelta(seconds=seconds), drive, "dc-overvoltage-supply",
        "Bus overvoltage at steady speed, several drives at the same moment", "capacitor-bank-switching", "presumed",
        "Asked the energy supplier for the switching times of the bank; line chokes ordered.",
        [("bus voltage stored with the trip", f"{some(786, 799, 1)} V")], downtime=(20, 40), who="SF", moment="steady running")

# The filler's terminal box: wet after each thorough wash-down, until the gland is replaced.
wet = [datetime(2025, 2, 10), datetime(2025, 4, 7), datetime(2025, 5, 12), datetime(2025, 7, 21), datetime(2025, 9, 1), datetime(2025, 10, 13)]
for turn, day in enumerate(wet):
    last = turn == len(wet) - 1
    ohms = round(dice.uniform(0.12, 0.6), 2)
    add(day.replace(hour=6, minute=some(0, 20)), "filler", "ground-fault",
        dice.choice(["Earth fault with the first start after the wash-down", "Earth fault at start, was washed down at night",
                     "Earth fault as soon as it is enabled, floor still wet"]),
        "terminal-box-wet", "measured",
        "Box dried, the cracked cable gland replaced and the cable given a drip loop." if last else
        dice.choice(["Terminal box dried with warm air.", "Box opened, wiped and dried; lid seal greased.", "Water let out of the box, dried."]),
        [("insulation of motor and cable from the panel", f"{ohms} MΩ"), ("insulation after drying", f"{some(180, 340, 10)} MΩ")],
        "Insulation the same after the next three wash-downs." if last else "Ran all day.",
        "1 cable gland" if last else "", (80, 140), "start", "RB" if last else None,
        "Sixth time. The gland had a hair crack on its underside." if last else "", "earth fault")

# Hot summers: filters clog, the wall panel of the compressor room gets no air.
for year, times in ((2025, 9), (2026, 12)):
    for _ in range(times):
        at = any_time(datetime(year, 6, 8), datetime(year, 8, 26)).replace(hour=dice.choice([13, 14, 15, 16, 17]))
        inside, outside = some(48, 55, 1), some(33, 38, 1)
        cause, done = dice.choice([
            ("cabinet-filter-blocked", "Filter mats of the panel changed."),
            ("cabinet-filter-blocked", "Mats blown out, new ones ordered."),
            ("ambient-too-hot", "Room door kept open, second fan put up for the hot days."),
            ("heatsink-fouled", "Heatsink brushed and sucked clean, locked off and proved dead.")])
        add(at, dice.choice(["compressor-room-fan", "compressor-room-fan", "chiller-pump"]), "heatsink-overtemperature",
            dice.choice(["Heatsink too hot in the afternoon", "Drive overtemperature, hot day", "Too hot again, panel door feels warm"]),
            cause, "proved-by-run", done, [("air inside the panel", f"{inside} °C"), ("air in the room", f"{outside} °C")],
            f"Inside {inside - some(7, 11, 1)} °C after two hours, no trip that day.", downtime=(25, 70), moment="steady running")

# The palletiser lift's braking resistor wears out: its value creeps up until it is replaced.
for day, ohms in ((datetime(2025, 11, 18), 76), (datetime(2026, 1, 14), 83), (datetime(2026, 2, 25), 97), (datetime(2026, 3, 20), 140)):
    last = ohms == 140
    add(day.replace(hour=some(7, 20, 1), minute=some(0, 55)), "palletiser-lift", "dc-overvoltage-decelerating",
        dice.choice(["Overvoltage when lowering a full pallet", "Bus overvoltage on the way down, stops hard"]),
        "brake-resistor-wrong-value", "exchanged" if last else "measured",
        "Braking resistor replaced by one of the planned value." if last else dice.choice(
            ["Terminals of the resistor tightened.", "Resistor cleaned, ramp for lowering lengthened.", "Resistor measured and left, one ordered."]),
        [("braking resistor, leads lifted at the drive", f"{ohms} Ω"), ("bus voltage stored with the trip", f"{some(781, 798, 1)} V")],
        "Thirty lowerings with a full pallet, bus held at 703 V." if last else "Ten lowerings without a trip.",
        "1 braking resistor" if last else "", (60, 150), "slowing down", notes="Grid of the resistor corroded and thin." if last else "")

# Nights: the line is started cold after the break, with syrup that has thickened.
for _ in range(46):
    at = by_night(START, END)
    drive, klass, words, cause, done = dice.choice([
        ("wash-pump", "overcurrent-accelerating", "Overcurrent on the first start after the night break", "load-heavier-than-planned", "Started twice with the valve half closed."),
        ("wash-pump", "overcurrent-accelerating", "Overcurrent speeding up, water cold and thick with lye", "load-heavier-than-planned", "Tank warmed before the start."),
        ("labeller-spindle", "overcurrent-accelerating", "Trips speeding up after the label change", "accel-ramp-too-short", "Ramp set back from 0.4 s to 0.8 s."),
        ("conveyor-2", "motor-overload", "Overload an hour into the night run", "load-too-heavy", "Jam of bottles cleared, fewer bottles let on."),
        ("capper", "motor-overload", "Capper turret overload with cold caps", "load-too-heavy", "Caps kept in the warm room."),
    ])
    current = round(dice.uniform(1.2, 2.4), 1)
    add(at, drive, klass, words, cause, dice.choice(["proved-by-run", "proved-by-run", "presumed", "measured"]), done,
        [("current at the trip against nameplate", f"{current} times")] if dice.random() < 0.6 else (), "Ran the rest of the shift." if dice.random() < 0.7 else "",
        downtime=(10, 45), who=dice.choice(["TA", "JO"]), moment="speeding up" if "accelerating" in klass else "steady running")

# Conveyor 1: a worm gear that loses its oil. Rare at first, weekly at the end.
days = [datetime(2025, 3, 4), datetime(2025, 9, 16)] + [datetime(2026, 3, 2) + timedelta(days=d) for d in (0, 41, 78, 106, 131, 150, 168, 182, 195, 207, 217, 226, 234, 241, 247)]
for turn, day in enumerate(days):
    amps = round(3.0 + 0.06 * turn + dice.uniform(-0.05, 0.1), 2)
    add(day.replace(hour=some(0, 23, 1), minute=some(0, 55)), "conveyor-1", "motor-overload",
        dice.choice(["Motor overload with a full chain", "Overload after an hour, motor hot", "Overload again, growls at the gear"]),
        "gearbox-failing" if turn > 6 else dice.choice(["load-too-heavy", "process-changed"]),
        "measured" if turn > 6 else "presumed",
        dice.choice(["Oil of the worm gear topped up.", "Chain loosened a link, oil topped up.", "Let cool down and started with half the load."]),
        [("motor current at steady speed", f"{amps} A"), ("gearbox housing", f"{some(55, 60, 1) + 2 * turn} °C")],
        downtime=(25, 75), moment="steady running", notes="New gearbox ordered." if turn == len(days) - 1 else "")

# What happens anywhere, without a pattern.
ANY = [
    ("labeller-spindle", "speed-feedback-loss", "Encoder fault at high speed", "encoder-cable-damaged", "exchanged", "Encoder cable replaced.", "Screen of the cable", "worn through"),
    ("labeller-spindle", "speed-feedback-loss", "Feedback lost for a moment", "encoder-coupling-loose", "measured", "Clamping screw tightened.", "play of the coupling", "2 mm"),
    ("conveyor-2", "enable-missing", "Ready and does not start", "interlock-chain-open", "measured", "Guard switch adjusted.", "voltage behind the guard switch", "0 V"),
    ("capper", "enable-missing", "Will not start after the door was open", "safe-torque-off-open", "measured", "Plug of the safety relay reseated.", "voltage at the safe-torque-off input", "0.4 V"),
    ("filler", "external-trip-input", "External fault, filler stands", "external-device-tripped", "measured", "Pressure switch of the air supply reset and checked.", "air pressure", "4.1 bar"),
    ("rinser", "communication-loss", "Bus fault, rinser alone", "network-plug-or-cable-bad", "exchanged", "Network plug replaced.", "errors counted in an hour", "212"),
    ("conveyor-2", "communication-loss", "Bus timeout while everything else runs", "network-plug-or-cable-bad", "exchanged", "Cable clipped away from the chain and its plug replaced.", "errors counted in an hour", "94"),
    ("chiller-pump", "analog-reference-loss", "Reference lost, pump falls to its lowest speed", "reference-loop-broken", "measured", "Broken core in the sender's cable joined in a new box.", "loop current", "0.0 mA"),
    ("chiller-pump", "motor-overtemperature-sensor", "Motor sensor trip", "motor-cooling-blocked", "proved-by-run", "Fan cover freed of packing film.", "sensor resistance", "3.9 kΩ"),
    ("wash-pump", "supply-phase-loss", "Input phase missing", "loose-supply-terminal", "measured", "Terminal tightened to its torque, locked off and proved dead.", "drop across the terminal", "6.2 V"),
    ("depalletiser-hoist", "mechanical-brake", "Brake does not lift, jerks", "brake-gap-too-large", "measured", "Air gap set.", "air gap", "0.9 mm"),
    ("depalletiser-hoist", "mechanical-brake", "Brake fault at start", "brake-supply-missing", "measured", "Rectifier of the brake replaced.", "voltage at the brake coil", "0 V"),
    ("palletiser-lift", "speed-deviation", "Does not follow when lifting", "load-heavier-than-planned", "measured", "Layer count set back to five.", "load on the fork", "780 kg"),
    ("centrifuge", "motor-overload", "Overload while clarifying", "motor-bearing-failing", "exchanged", "Motor bearings replaced.", "vibration at the drive end", "9.4 mm/s"),
    ("centrifuge", "dc-overvoltage-decelerating", "Overvoltage on a stop for cleaning", "decel-ramp-too-short", "proved-by-run", "Ramp set back to 14 s.", "ramp found", "9 s"),
    ("rinser", "overcurrent-running", "Overcurrent, table stuck", "mechanically-blocked", "measured", "Broken glass taken out of the starwheel.", "current at the trip", "14 A"),
    ("capper", "output-phase-loss", "Output phase missing", "motor-terminal-loose", "measured", "Terminal at the motor tightened.", "winding from the panel, U to V", "open"),
    ("filler", "motor-overload", "Overload at the carousel", "coupling-or-belt-misaligned", "measured", "Belt aligned.", "motor current", "12.1 A"),
    ("compressor-room-fan", "does-not-reach-speed", "Fan too slow", "belt-or-clutch-slips", "measured", "Belts tensioned.", "fan speed", "610 rpm"),
]
OPEN = [
    ("labeller-spindle", "overcurrent-running", "Overcurrent at steady speed, once"),
    ("rinser", "nuisance-trip-unknown", "Stopped by itself, nothing stored"),
    ("capper", "nuisance-trip-unknown", "Tripped and could be started at once"),
    ("conveyor-2", "communication-loss", "Bus fault for a second"),
]
while len(records) < 136:
    drive, klass, words, cause, how, done, what, value = dice.choice(ANY)
    add(any_time(START, END), drive, klass, words, cause, how, done, [(what, value)], dice.choice(["Ran all shift.", "Ten starts without a trip.", ""]), downtime=(15, 120))
while len(records) < 142:
    drive, klass, words = dice.choice(OPEN)
    add(any_time(START, END), drive, klass, words, done="Looked over and started again.", downtime=(10, 60))

records.sort(key=lambda record: record["occurred_at"])
for record in records:
    print(json.dumps(record, ensure_ascii=False, separators=(",", ":")))
