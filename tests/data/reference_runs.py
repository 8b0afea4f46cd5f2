"""Works out electrical checks a second time, from first principles.

No closed formula of the program is used where a simulation can stand in for it: circuits are run
in the time domain, motion and heat are integrated, phasors are added, lattices are summed,
uncertainties are drawn at random. Prints the rows of reference-runs.csv:

    python3 reference_runs.py > reference-runs.csv

Needs numpy, scipy and the circuit simulator named in reference-runs.md; no network.
"""

import csv
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from scipy.integrate import simpson, solve_ivp
from scipy.optimize import brentq

ROWS = []
TURN = 2 * np.pi / 60  # rad/s in one revolution a minute


def row(group, check, inputs, output, expected, unit, tolerance, how):
    """One row; a tolerance `-1..40` lets the program lie 1 % below to 40 % above."""
    number = sum(1 for kept in ROWS if kept[0].startswith(group + "-")) + 1
    if not isinstance(expected, str):
        expected = f"{expected:.6g}"
    typed = ";".join(f"{name}={value}" for name, value in inputs.items())
    ROWS.append([f"{group}-{number}", check, typed, output, expected, unit, tolerance, how])


# --- Rectifiers: time-domain circuit simulation -------------------------------------------------

DIODE = ".model bridge D(IS=1e-9 N=0.05 RS=1m)"  # drops about 0.05 V: next to ideal


def simulate(lines, names, stop, step, start=0.0):
    """Runs a netlist; gives time and the named signals on an even grid from `start` to `stop`."""
    with tempfile.TemporaryDirectory() as folder:
        deck = Path(folder) / "deck.cir"
        control = [".control", "set wr_singlescale", "run", f"wrdata out.txt {' '.join(names)}", "quit"]
        deck.write_text("\n".join(
            ["deck", *lines, DIODE, ".options reltol=1e-4 abstol=1e-6 vntol=1e-4 method=gear",
             f".tran {step} {stop} {start} {step} uic", *control, ".endc", ".end", ""]))
        done = subprocess.run(["ngspice", "-b", deck.name], cwd=folder, capture_output=True, text=True)
        if not (Path(folder) / "out.txt").exists():
            sys.exit(done.stdout + done.stderr)
        table = np.loadtxt(Path(folder) / "out.txt")
    grid = np.arange(start, stop - step / 2, step)
    return grid, [np.interp(grid, table[:, 0], table[:, 1 + at]) for at in range(len(names))]


def bridge(supply, frequency, phases, bus, inductance=0.0, resistance=1e-3):
    """A diode bridge between the lines and the nodes p and n; `phases` 3, 1, or 2 for a line lost."""
    peak = supply * np.sqrt(2 / 3) if phases > 1 else supply * np.sqrt(2)
    lines = {3: "abc", 2: "ab", 1: "a"}[phases]
    netlist = []
    for at, line in enumerate(lines):
        netlist.append(f"V{line} s{line} 0 SIN(0 {peak} {frequency} 0 0 {-120 * at})")
        if inductance:
            netlist += [f"L{line} s{line} t{line} {inductance} ic=0", f"R{line} t{line} {line} {resistance}"]
        else:
            netlist.append(f"R{line} s{line} {line} {resistance}")
    if phases == 1:
        lines = "a0"  # the return line is the circuit's zero
    for line in lines:
        netlist += [f"Dp{line} {line} p bridge", f"Dn{line} n {line} bridge"]
        if inductance:  # a snubber at each diode: an inductance may not be cut off at once
            netlist += [f"Ru{line} {line} u{line} 200", f"Cu{line} u{line} p 20n ic=0",
                        f"Rd{line} {line} d{line} 200", f"Cd{line} d{line} n 20n ic=0"]
    return netlist + ["Rp p 0 10meg", "Rn n 0 10meg", *bus]


def steady(supply, frequency, phases, bus, inductance=0.0, resistance=1e-3, cycles=20, settle=20):
    """The settled bus voltage over whole cycles: its times and values."""
    period = 1 / frequency
    step = period / 4000
    grid, (volts,) = simulate(
        bridge(supply, frequency, phases, bus, inductance, resistance), ["v(p,n)"],
        (settle + cycles) * period, step, settle * period)
    return grid, volts


def capacitor_and_power(microfarads, watts):
    # Constant power; below 100 V a resistor, so that an empty bus can be charged.
    return [f"C1 p n {microfarads * 1e-6} ic=0", f"B1 p n I={watts}*v(p,n)/max(v(p,n),100)^2"]


def dominant(grid, volts):
    """Frequency of the strongest ripple; the grid spans whole supply periods."""
    spectrum = np.abs(np.fft.rfft(volts - volts.mean()))
    return np.fft.rfftfreq(len(grid), grid[1] - grid[0])[spectrum.argmax()]


def rectifiers():
    model = "circuit simulation, diode bridge"
    for supply, frequency, phases in [(400, 50, 3), (400, 50, 2), (230, 50, 1)]:
        # Idle: charged from empty through 20 Ω, left alone but for a bleeder.
        idle = ["R1 p q 20", "C1 q n 500u ic=0", "R2 q n 200k"]
        _, (volts,) = simulate(bridge(supply, frequency, phases, idle), ["v(q,n)"],
                               40 / frequency, 1e-5, 38 / frequency)
        rest = volts.mean()
        state = {3: "three lines", 2: "one of three lines open", 1: "single-phase"}[phases]
        how = f"{model}, {state}, capacitor charged and idle"
        row("rest", "bus-at-rest", {"supply_voltage": f"{supply} V", "bus_voltage": f"{rest:.1f} V"},
            "expected_bus_voltage", rest, "V", "0.5", how)
        if phases == 3:
            row("rest", "supply-from-bus", {"bus_voltage": f"{rest:.2f} V"}, "supply_voltage", supply, "V",
                "0.5", how + "; back to the supply that was put in")

    for supply, frequency in [(400, 50), (480, 60)]:
        # No capacitor, resistive load: the bare six-pulse wave.
        _, volts = steady(supply, frequency, 3, ["R1 p n 50"], cycles=4, settle=2)
        given = {"supply_voltage": f"{supply} V", "bus_voltage": f"{volts.mean():.1f} V"}
        how = f"{model}, three lines, resistor, no capacitor"
        row("six-pulse", "bus-loaded", given, "mean_bus_voltage", volts.mean(), "V", "0.2", how)
        if supply != 400:
            continue
        row("six-pulse", "bus-loaded", given, "lowest_bus_voltage", volts.min(), "V", "0.2", how)
        row("six-pulse", "bus-loaded", given, "peak_bus_voltage", volts.max(), "V", "0.2", how)
        row("six-pulse", "ripple-share",
            {"bus_voltage": f"{volts.mean():.1f} V", "ripple_voltage": f"{np.ptp(volts):.1f} V",
             "supply_voltage": f"{supply} V"}, "largest_healthy", np.ptp(volts), "V", "1", how)

    _, volts = steady(280, 50, 3, ["R1 p n 50"], cycles=4, settle=2)
    dip = {"supply_voltage": "400 V", "remaining_voltage": "70 %"}
    how = f"{model}, three lines at 280 V, resistor, no capacitor"
    row("dip", "bus-in-dip", dip, "mean_bus_voltage", volts.mean(), "V", "0.2", how)
    row("dip", "bus-in-dip", dip, "peak_bus_voltage", volts.max(), "V", "0.2", how)

    _, volts = steady(230, 50, 1, ["R1 p n 50"], cycles=4, settle=2)
    row("two-pulse", "bus-single-phase", {"supply_voltage": "230 V", "bus_voltage": "300 V"},
        "mean_bus_voltage", volts.mean(), "V", "0.2", f"{model}, single-phase, resistor, no capacitor")
    _, volts = steady(230, 50, 1, capacitor_and_power(1000, 1100), inductance=1e-4, resistance=0.05)
    row("two-pulse", "bus-single-phase", {"supply_voltage": "230 V", "bus_voltage": f"{volts.mean():.1f} V"},
        "verdict", "normal", "", "", f"{model}, single-phase, 1000 µF, 1.1 kW: simulated mean as the reading")

    for supply, frequency, millihenries, amperes in [(480, 60, 0.3, 40), (400, 50, 1.0, 30)]:
        # A smooth current drawn behind line inductance: commutation eats voltage.
        _, volts = steady(supply, frequency, 3, [f"I1 p n {amperes}", "R1 p n 10k"],
                          inductance=millihenries / 1000, cycles=4, settle=6)
        given = {"supply_voltage": f"{supply} V", "supply_frequency": f"{frequency} Hz",
                 "source_inductance": f"{millihenries} mH", "bus_current": f"{amperes} A"}
        how = f"{model}, three lines with inductance, constant current"
        row("commutation", "bus-commutation-drop", given, "mean_bus_voltage", volts.mean(), "V", "0.3", how)
    _, bare = steady(supply, frequency, 3, [f"I1 p n {amperes}", "R1 p n 10k"], cycles=4, settle=6)
    row("commutation", "bus-commutation-drop", given, "drop", bare.mean() - volts.mean(), "V", "1",
        how + "; against the same without inductance")
    loaded(model)
    ripple_of_large_capacitor(model)
    capacitance_from_ripple(model)


def loaded(model):
    """Drives at rated load, whole and with a line open: the readings they would give, judged."""
    for supply, frequency, microfarads, watts in [(400, 50, 1000, 8000), (480, 60, 1500, 15000)]:
        for phases in (3, 2):
            grid, volts = steady(supply, frequency, phases, capacitor_and_power(microfarads, watts),
                                 inductance=2e-4, resistance=0.05)
            healthy = phases == 3
            state = "three lines" if healthy else "one line open"
            how = f"{model}, {state}, {microfarads} µF, {watts / 1000:g} kW; each line 0.2 mH, 50 mΩ"
            bus, ripple, hertz = f"{volts.mean():.1f} V", f"{np.ptp(volts):.1f} V", dominant(grid, volts)
            which = "six" if healthy else "two"
            row("loaded", "ripple-frequency",
                {"supply_frequency": f"{frequency} Hz", "ripple_frequency": f"{hertz:.1f} Hz"},
                "pattern", f"{which}-pulse", "", "", how + "; strongest line of the spectrum as the reading")
            row("loaded", "ripple-share", {"bus_voltage": bus, "ripple_voltage": ripple},
                "verdict", "normal" if healthy else "bad", "", "", how + "; simulated ripple as the reading")
            if supply != 400:
                continue
            if healthy:
                row("loaded", "bus-loaded", {"supply_voltage": f"{supply} V", "bus_voltage": bus},
                    "verdict", "normal", "", "", how + "; simulated mean as the reading")
            row("loaded", "ripple-frequency",
                {"supply_frequency": f"{frequency} Hz", "ripple_frequency": f"{hertz:.1f} Hz"},
                f"{which}_pulse", hertz, "Hz", "0.1", how + "; strongest line of the spectrum")
            # An upper bound: never below the wave. Line inductance spreads the charging over a good
            # part of the period, so that three lines leave about half of it.
            row("loaded", "ripple-estimate",
                {"bus_current": f"{watts / volts.mean():.3f} A", "ripple_frequency": f"{hertz:.1f} Hz",
                 "bus_capacitance": f"{microfarads} µF"},
                "estimate", np.ptp(volts), "V", "0..110" if healthy else "0..40", how + "; an upper bound")


def ripple_of_large_capacitor(model):
    """With a stiff line and a small ripple the bridge conducts for moments only."""
    for phases, hertz in [(3, 300), (2, 100)]:
        bus = ["C1 p n 20m ic=565", "I1 p n 5"]
        _, volts = steady(400, 50, phases, bus, cycles=10, settle=10)
        row("small-ripple", "ripple-estimate",
            {"bus_current": "5 A", "ripple_frequency": f"{hertz} Hz", "bus_capacitance": "20000 µF"},
            "estimate", np.ptp(volts), "V", "0..10", f"{model}, {phases} lines, 20 mF, 5 A: short conduction")


def capacitance_from_ripple(model):
    """A sound and a worn bank on a stiff line: the capacitance that the simulated ripple stands for."""
    for phases, hertz, microfarads in [(3, 300, 1000), (3, 300, 350), (2, 100, 2000)]:
        rated = 2000 if phases == 2 else 1000
        bus = [f"C1 p n {microfarads}u ic=565", "I1 p n 12"]
        _, volts = steady(400, 50, phases, bus, cycles=10, settle=10)
        given = {"bus_current": "12 A", "ripple_frequency": f"{hertz} Hz", "bus_capacitance": f"{rated} µF",
                 "ripple_voltage": f"{np.ptp(volts):.2f} V", "supply_voltage": "400 V"}
        how = f"{model}, {phases} lines, {microfarads} µF, 12 A: simulated ripple as the reading"
        row("worn", "ripple-estimate", given, "capacitance", microfarads, "µF", "0..20", how + "; an upper bound")
        verdict = "normal" if microfarads == rated else "bad"
        row("worn", "ripple-estimate", given, "verdict", verdict, "", "", how)


# --- Capacitors ---------------------------------------------------------------------------------


def integrate(slope, start, span, event=None, dense=None):
    """Integrates to `span` or to the first zero of `event`; gives times and states."""
    if event is not None:
        event.terminal = True
    return solve_ivp(slope, (0, span), np.atleast_1d(start).astype(float), events=event, t_eval=dense,
                     rtol=1e-9, atol=1e-9, method="LSODA")


def reactors():
    for percent in [1, 3, 5]:
        supply, frequency, watts = 400, 50, 20e3
        current = watts / (np.sqrt(3) * supply)
        henries = percent / 100 * supply / np.sqrt(3) / current / (2 * np.pi * frequency)
        period = 1 / frequency
        bus = capacitor_and_power(75 * watts / 1e3, watts)
        grid, (line, volts) = simulate(bridge(supply, frequency, 3, bus, henries, 0.016), ["i(Va)", "v(p,n)"],
                                       40 * period, period / 2000, 30 * period)
        spectrum = np.abs(np.fft.rfft(line))
        fundamental = spectrum[10]  # ten periods on the grid
        distortion = np.sqrt(sum(spectrum[10 * order] ** 2 for order in range(2, 41))) / fundamental
        given = {"supply_voltage": f"{supply} V", "supply_frequency": f"{frequency} Hz",
                 "drive_input_current": f"{current:.3f} A", "reactor_impedance": f"{percent - 0.5:g} %",
                 "network_impedance": "0.5 %"}
        how = f"circuit simulation, six-pulse bridge, {percent} % in the lines, 75 µF for each kilowatt, constant power"
        row("reactor", "line-reactor", given, "distortion", 100 * distortion, "%", "2", how)
        row("reactor", "line-reactor", given, "mean_bus_voltage", volts.mean(), "V", "1.5", how)

    # A short circuit at the drive: impedances in series, solved as phasors.
    for kva, impedance, henries in [(630, 0.04, 0), (250, 0.04, 0.05e-3), (100, 0.05, 0.3e-3)]:
        per_phase = 400 / np.sqrt(3)
        transformer = impedance * 400**2 / (kva * 1e3)
        there = abs(per_phase / (1j * transformer + 1j * 2 * np.pi * 50 * henries))
        row("reactor", "short-circuit-at-drive",
            {"supply_voltage": "400 V", "transformer_power": f"{kva} kVA", "transformer_impedance": f"{100 * impedance:g} %",
             "supply_frequency": "50 Hz", "reactor_inductance": f"{1e3 * henries:g} mH"},
            "at_drive", there / 1e3, "kA", "0.1", "phasors, impedances in series")


def doubler():
    lines = ["Vs a 0 SIN(0 162.635 60 0 0 0)", "Rs a b 10m", "D1 b p bridge", "D2 n b bridge",
             "C1 p 0 1000u ic=0", "C2 0 n 1000u ic=0", "R1 p 0 1meg", "R2 0 n 1meg"]
    _, (volts,) = simulate(lines, ["v(p,n)"], 0.5, 1e-5, 0.45)
    row("doubler", "voltage-doubler", {"supply_voltage": "115 V", "bus_voltage": f"{volts.mean():.1f} V"},
        "peak_bus_voltage", volts.mean(), "V", "0.5", "circuit simulation, voltage doubler, idle")


def fluxes():
    # Flux is the integral of the voltage over half a period.
    def flux(volts, hertz):
        time = np.linspace(0, 1 / (2 * hertz), 20001)
        return simpson(np.sqrt(2) * volts * np.sin(2 * np.pi * hertz * time), x=time)

    for made, volts, hertz, winding in [("as-rated", 400, 50, 1), ("delta-for-star", 400, 50, np.sqrt(3)),
                                        ("as-rated", 460, 50, 1)]:
        plate = (400, 50) if volts == 400 else (460, 60)
        row("flux", "motor-flux",
            {"motor_rated_voltage": f"{plate[0]} V", "motor_rated_frequency": f"{plate[1]} Hz",
             "output_voltage": f"{volts} V", "output_frequency": f"{hertz} Hz", "connection_made": made},
            "flux", 100 * flux(volts * winding, hertz) / flux(*plate), "%", "0.1",
            "voltage across the winding integrated over half a period")


def dew():
    saturation = lambda celsius: 6.112 * np.exp(17.62 * celsius / (243.12 + celsius))  # hPa, WMO-No. 8
    for celsius, humidity in [(25, 0.60), (40, 0.85), (5, 0.35)]:
        point = brentq(lambda t: saturation(t) - humidity * saturation(celsius), -60, 60)
        row("dew", "dew-point", {"air_temperature": f"{celsius} °C", "relative_humidity": f"{100 * humidity:g} %"},
            "dew_point", point, "°C", "0.1", "vapour pressure brought to saturation by root finding")


def capacitors():
    ohms, farads, volts = 47, 3300e-6, 565

    def slope(_, state):  # capacitor voltage, heat in the resistor
        current = (volts - state[0]) / ohms
        return [current / farads, ohms * current**2]

    full = integrate(slope, [0, 0], 40 * ohms * farads)
    reached = integrate(slope, [0, 0], 40 * ohms * farads, lambda _, state: state[0] - 0.95 * volts)
    given = {"precharge_resistance": "47 Ω", "bus_capacitance": "3300 µF", "bus_voltage": "565 V",
             "charging_source": "constant-dc"}
    how = "charging integrated from a constant voltage through the resistor"
    row("precharge", "precharge-time", given, "time", reached.t[-1], "s", "0.1", how)
    row("precharge", "precharge-time", given, "energy", full.y[1, -1], "J", "0.1", how)
    del given["precharge_resistance"], given["charging_source"]
    row("precharge", "precharge-starts", given | {"precharge_power": "50 W", "power_ups_per_hour": "40"},
        "average_power", full.y[1, -1] * 40 / 3600, "W", "0.1", how + ", 40 times an hour")

    # The same through a whole bridge: near the end current flows at the wave's crests only, which
    # takes longer than a constant voltage would, and the heat is a little less.
    lines = ["R1 p q 47", "C1 q n 1000u ic=0"]
    grid, (bus,) = simulate(bridge(400, 50, 3, lines), ["v(q,n)"], 1.0, 1e-5)
    current = np.gradient(bus, grid) * 1e-3  # C·du/dt
    given = {"precharge_resistance": "47 Ω", "bus_capacitance": "1000 µF", "bus_voltage": "565.7 V"}
    how = "circuit simulation, six-pulse bridge, resistor on its dc side"
    reached = grid[np.argmax(bus >= 0.95 * 400 * np.sqrt(2))]
    row("precharge-bridge", "precharge-time", given, "time", reached, "s", "1", how)
    row("precharge-bridge", "precharge-time", given, "energy", simpson(47 * current**2, x=grid), "J", "0..10", how)
    row("precharge-bridge", "precharge-time", given, "peak_current", current[5:].max(), "A", "1", how)

    lines = ["R1 p q 100", "C1 q n 1000u ic=0"]
    grid, (bus,) = simulate(bridge(230, 50, 1, lines), ["v(q,n)"], 1.6, 1e-5)
    row("precharge-bridge", "precharge-time",
        {"precharge_resistance": "100 Ω", "bus_capacitance": "1000 µF", "charging_source": "single-phase-bridge"},
        "time", grid[np.argmax(bus >= 0.95 * 230 * np.sqrt(2))], "s", "2",
        "circuit simulation, single-phase bridge, resistor on its dc side")

    for ohms, microfarads, volts, safe in [(50e3, 2000, 680, 60), (22e3, 4700, 565, 50)]:
        farads = microfarads * 1e-6
        fall = lambda _, state: [-state[0] / (ohms * farads)]
        given = {"bus_capacitance": f"{microfarads} µF", "discharge_resistance": f"{ohms / 1000:g} kΩ",
                 "bus_voltage": f"{volts} V", "safe_voltage": f"{safe} V"}
        how = "discharge integrated"
        dead = integrate(fall, volts, 1e5, lambda _, state: state[0] - safe)
        row("discharge", "discharge-wait", given, "time", dead.t[-1], "s", "0.1", how)
    grid = np.linspace(0, 2000, 200001)
    wave = integrate(lambda _, state: [-state[0] / 100.0], 680, 2000, dense=grid).y[0]
    row("discharge", "stored-energy", {"bus_capacitance": "2000 µF", "bus_voltage": "680 V"}, "energy",
        simpson(wave**2 / 50e3, x=grid), "J", "0.1", "heat in the discharge resistor, integrated to the end")


# --- Symmetrical components ---------------------------------------------------------------------

FORTESCUE = np.array([[1, np.exp(2j * np.pi / 3), np.exp(-2j * np.pi / 3)],
                      [1, np.exp(-2j * np.pi / 3), np.exp(2j * np.pi / 3)]]) / 3


def triangle(first, second, third):
    """Three line voltages as phasors that close a triangle."""
    # First along the real axis; the second turns by the angle that leaves the third to close it.
    turn = brentq(lambda angle: abs(first + second * np.exp(-1j * angle)) - third, 1e-9, np.pi - 1e-9)
    phasors = np.array([first, second * np.exp(-1j * turn)])
    return np.append(phasors, -phasors.sum())


def line_inputs(values):
    return {name: f"{value:.4f} V"
            for name, value in zip(["voltage_l1_l2", "voltage_l2_l3", "voltage_l3_l1"], values)}


def components():
    for measured in [(460, 467, 450), (400, 380, 410)]:
        positive, negative = np.abs(FORTESCUE @ triangle(*measured))
        row("components", "negative-sequence-unbalance", line_inputs(measured), "unbalance",
            100 * negative / positive, "%", "0.1", "phasors from the triangle, Fortescue matrix")
    for share, angle in [(0.01, 30), (0.03, 200)]:
        # The other way round: lines made from known components.
        turns = np.exp(-2j * np.pi / 3 * np.arange(3))
        lines = np.abs(400 * (turns + share * np.exp(1j * np.radians(angle)) / turns))
        row("components", "negative-sequence-unbalance", line_inputs(lines), "unbalance", 100 * share, "%",
            "0.1", f"lines built from a negative sequence of {share:g} at {angle}°")
        mean = lines.mean()
        row("components", "voltage-unbalance", line_inputs(lines), "unbalance",
            100 * np.abs(lines - mean).max() / mean, "%", "0.1", "same lines, largest deviation from the mean")


# --- Heat in motor and drive --------------------------------------------------------------------


def thermal():
    for multiple, before, constant, pickup in [(1.5, 0, 600, 1.05), (2.0, 0.8, 1200, 1.1), (6.0, 1.0, 900, 1.05)]:
        heat = lambda _, state: [(multiple**2 - state[0]) / constant]
        trip = integrate(heat, before**2, 1e6, lambda _, state: state[0] - pickup**2)
        row("motor-heat", "thermal-trip-time",
            {"motor_current": f"{20 * multiple} A", "motor_rated_current": "20 A",
             "thermal_time_constant": f"{constant} s", "pickup_factor": f"{pickup} ×",
             "load_before": f"{100 * before:g} %"},
            "time", trip.t[-1], "s", "0.1", "one-body thermal model integrated to the pick-up")
    for amperes, overload, seconds, rule in [(120, 1.5, 60, "excess-heat"), (135, 1.5, 60, "all-heat"),
                                             (180, 2.0, 3, "excess-heat")]:
        # Heat gained a second at a current, above what rated load sheds or all of it.
        gained = lambda ratio: ratio**2 - (1 if rule == "excess-heat" else 0)
        store = integrate(lambda _, state: [gained(overload)], 0, seconds).y[0, -1]
        spent = integrate(lambda _, state: [gained(amperes / 100)], 0, 1e5, lambda _, state: state[0] - store)
        row("drive-heat", "overload-time-left",
            {"output_current": f"{amperes} A", "drive_rated_current": "100 A",
             "drive_overload": f"{100 * overload:g} %", "drive_overload_time": f"{seconds} s", "rule": rule},
            "time", spent.t[-1], "s", "0.1", "heat account integrated until the store of the rating is full")
    instants = (np.arange(600000) + 0.5) / 1000  # ten minutes, the first of them at 150 %
    over = lambda base: np.sqrt(np.mean(np.where(instants < 60, 1.5, base) ** 2)) - 1
    row("drive-heat", "overload-base-load",
        {"drive_overload": "150 %", "drive_overload_time": "60 s", "overload_cycle": "600 s"}, "base_load",
        100 * brentq(over, 0, 1), "%", "0.1", "rms of the sampled cycle brought to rated by root finding")


# --- Motion, braking and ride-through -----------------------------------------------------------


def stop(inertia, speed, final, seconds):
    """Torque and power of a linear ramp, from the slope of the speed; energy from the power."""
    grid = np.linspace(0, seconds, 20001)
    omega = TURN * np.linspace(speed, final, grid.size)
    torque = -inertia * np.gradient(omega, grid)
    power = torque * omega
    return torque.mean(), power, simpson(power, x=grid)


def motion():
    how = "J·dω/dt integrated"
    for inertia, speed, motor, load in [(0.8, 1460, 98, 60), (12, 980, 300, -20)]:
        run = integrate(lambda _, state: [(motor - load) / inertia], 0, 1e5, lambda _, state: state[0] - TURN * speed)
        row("motion", "acceleration-time",
            {"inertia": f"{inertia} kg·m²", "motor_speed": f"{speed} rpm", "motor_torque": f"{motor} N·m",
             "load_torque": f"{load} N·m"}, "time", run.t[-1], "s", "0.1", how)
    speeds = lambda torque: integrate(lambda _, state: [torque / 0.5], 0, 5).y[0, -1]
    row("motion", "acceleration-torque",
        {"inertia": "0.5 kg·m²", "motor_speed": "1500 rpm", "acceleration_time": "5 s",
         "motor_rated_power": "15 kW", "motor_rated_speed": "1460 rpm"}, "torque",
        brentq(lambda torque: speeds(torque) - TURN * 1500, 1, 100), "N·m", "0.1", how + ", torque by root finding")
    for inertia, speed, final, seconds in [(1.2, 1480, 0, 8), (5.0, 1750, 600, 20)]:
        torque, power, energy = stop(inertia, speed, final, seconds)
        given = {"inertia": f"{inertia} kg·m²", "motor_speed": f"{speed} rpm",
                 "deceleration_time": f"{seconds} s", "final_speed": f"{final} rpm"}
        how = "torque from the slope of the ramp, power integrated"
        row("motion", "stop-energy", given, "energy", energy, "J", "0.1", how)
        row("motion", "stop-energy", given, "peak_power", power.max(), "W", "0.1", how)
    shortest = brentq(lambda seconds: stop(1.2, 1480, 0, seconds)[1].max() - 0.15 * 15000, 0.5, 500)
    row("motion", "minimum-stop-time",
        {"inertia": "1.2 kg·m²", "motor_speed": "1480 rpm", "motor_rated_power": "15 kW",
         "deceleration_time": "8 s", "loss_share": "15 %"}, "minimum_time", shortest, "s", "0.1",
        "ramp lengthened until the peak power just equals the losses")


def bus_energy():
    _, power, energy = stop(0.02, 1500, 0, 0.3)
    grid = np.linspace(0, 0.3, power.size)
    # All of the braking power goes into the capacitor: C·u·du/dt = p.
    rise = integrate(lambda t, state: [np.interp(t, grid, power) / (1500e-6 * state[0])], 540, 0.3)
    high = rise.y[0, -1]
    bus = {"bus_capacitance": "1500 µF", "bus_voltage": "540 V"}
    how = "C·u·du/dt = p integrated over the stop of 0.02 kg·m² from 1500 rpm in 0.3 s"
    row("bus-energy", "bus-rise", bus | {"returned_energy": f"{energy:.4f} J"},
        "bus_voltage_after", high, "V", "0.1", how)
    row("bus-energy", "bus-absorption", bus | {"highest_bus_voltage": f"{high:.4f} V"},
        "energy", energy, "J", "0.1", how + "; back to the energy that came in")

    def lasts(farads, watts, volts, limit):
        fall = lambda _, state: [-watts / (farads * state[0])]
        return integrate(fall, volts, 1e3, lambda _, state: state[0] - limit).t[-1]

    how = "constant power drawn from the capacitor, integrated"
    for microfarads, kilowatts, volts, limit in [(4700, 30, 648, 450), (680, 0.75, 320, 200)]:
        row("ride-through", "ride-through-time",
            {"bus_capacitance": f"{microfarads} µF", "load_power": f"{kilowatts} kW", "bus_voltage": f"{volts} V",
             "undervoltage_limit": f"{limit} V"}, "time",
            1000 * lasts(microfarads * 1e-6, 1000 * kilowatts, volts, limit), "ms", "0.1", how)
    needed = brentq(lambda farads: lasts(farads, 5000, 540, 400) - 0.1, 1e-4, 1e-1)
    row("ride-through", "ride-through-capacitance",
        {"wanted_time": "100 ms", "load_power": "5 kW", "bus_voltage": "540 V", "undervoltage_limit": "400 V"},
        "capacitance", 1e6 * needed, "µF", "0.1", how + ", capacitance by root finding")


# --- Cables -------------------------------------------------------------------------------------


def voltage_drop():
    # Resistance of one kilometre at the table's temperature: IEC 60228, Table 2 (20 °C), and
    # the NEC's chapter 9, Table 8 (75 °C, from Ω for a thousand feet).
    cases = [("16 mm²", "copper", 1.15, 0.00393, 20, 50, 100, 0.85, 400, "three", 70),
             ("35 mm²", "aluminium", 0.868, 0.00403, 20, 80, 150, 0.8, 400, "three", 60),
             ("2.5 mm²", "copper", 7.41, 0.00393, 20, 10, 40, 0.95, 230, "one", 70),
             ("8 AWG", "copper", 0.778 / 0.3048, 0, 75, 30, 60, 0.9, 480, "three", 75)]
    for size, metal, ohms, coefficient, base, amperes, metres, factor, supply, phases, celsius in cases:
        impedance = complex(ohms * (1 + coefficient * (celsius - base)), 0.08) * metres / 1000
        current = amperes * np.exp(-1j * np.arccos(factor))
        scale = np.sqrt(3) if phases == "three" else 1
        loop = impedance if phases == "three" else 2 * impedance
        end = brentq(lambda volts: abs(volts + current * loop) - supply / scale, 1, supply)
        row("cable", "voltage-drop",
            {"load_current": f"{amperes} A", "cable_length": f"{metres} m", "conductor_area": size,
             "conductor_metal": metal, "supply_phases": phases, "conductor_temperature": f"{celsius} °C",
             "reactance_per_length": "0.08 Ω/km", "load_power_factor": f"{factor} ×"},
            "drop", supply - scale * end, "V", "1", "phasors: length of the voltage at both ends")


def motor_end(length, rise, speed, reflection):
    """Highest voltage at the motor, of a unit pulse: lattice of reflections on a lossless line."""
    travel = length / speed
    grid = np.linspace(0, rise + 12 * travel, 20001)
    wave = np.zeros_like(grid)
    strength = 1 + reflection  # what arrives and what it throws back, together
    for passage in range(1, 40, 2):  # the drive's end, next to a short, turns the wave over
        wave += strength * np.clip((grid - passage * travel) / rise, 0, 1)
        strength *= -reflection
    return wave.max()


def reflections():
    how = "lattice diagram, lossless line, drive end stiff"
    for bus, cable, motor in [(560, 80, 800), (560, 100, 300)]:
        peak = bus * motor_end(100, 0.1e-6, 150e6, (motor - cable) / (motor + cable))
        row("reflection", "reflected-peak",
            {"motor_rated_voltage": "400 V", "bus_voltage": f"{bus} V", "cable_impedance": f"{cable} Ω",
             "motor_impedance": f"{motor} Ω"}, "peak_voltage", peak, "V", "0.1", how)
    row("reflection", "reflected-peak", {"motor_rated_voltage": "400 V", "bus_voltage": "540 V"}, "peak_voltage",
        540 * motor_end(100, 0.1e-6, 150e6, 1), "V", "0.1", how + ", motor end open")
    for microseconds, speed in [(0.1, 150), (0.4, 170)]:
        rise, metres_a_second = microseconds * 1e-6, speed * 1e6
        short = lambda length: motor_end(length, rise, metres_a_second, 0.9) - 1.9 * (1 - 1e-4)
        row("reflection", "cable-critical-length",
            {"rise_time": f"{microseconds} µs", "wave_speed": f"{speed} m/µs"}, "critical_length",
            brentq(short, 0.1, 200, xtol=1e-4), "m", "0.2", how + ": shortest that reflects in full")


# --- Signals and sensors ------------------------------------------------------------------------


def potentiometers():
    for volts, ohms, position, load in [(10, 10e3, 0.5, 20e3), (10, 1e3, 0.75, 20e3)]:
        # Nodes: wiper; and the end fed by the source, held by an extra equation for its current.
        upper, lower, into = 1 / ((1 - position) * ohms), 1 / (position * ohms), 1 / load
        matrix = [[upper, -upper, -1], [-upper, upper + lower + into, 0], [1, 0, 0]]
        _, wiper, current = np.linalg.solve(matrix, [0, 0, volts])
        given = {"reference_voltage": f"{volts} V", "potentiometer_resistance": f"{ohms / 1000:g} kΩ",
                 "wiper_position": f"{100 * position:g} %", "input_resistance": f"{load / 1000:g} kΩ"}
        row("potentiometer", "potentiometer", given, "expected_wiper_voltage", wiper, "V", "0.1", "nodal analysis")
        row("potentiometer", "potentiometer", given, "loaded_reference_current", 1000 * current, "mA", "0.5",
            "nodal analysis, current that the source delivers")


def platinum(celsius):
    """Ratio to the resistance at 0 °C, IEC 60751."""
    cold = -4.183e-12 * (celsius - 100) * celsius**3 if celsius < 0 else 0
    return 1 + 3.9083e-3 * celsius - 5.775e-7 * celsius**2 + cold


def temperature(ratio):
    return brentq(lambda celsius: platinum(celsius) - ratio, -250, 950, xtol=1e-10)


def sensors():
    for ohms, nominal in [(80.31, 100), (30.0, 100), (160.0, 100), (1250.0, 1000)]:
        row("platinum", "pt100-temperature",
            {"sensor_resistance": f"{ohms} Ω", "nominal_resistance": f"{nominal} Ω"}, "temperature",
            temperature(ohms / nominal), "°C", "0.02", "root of the IEC 60751 polynomial")
    for leads, celsius in [(1.0, 100), (1.0, -150)]:
        seen = temperature(platinum(celsius) + leads / 100)
        row("platinum", "pt100-lead-error",
            {"lead_resistance": f"{leads} Ω", "sensor_temperature": f"{celsius} °C"}, "error",
            seen - celsius, "K", "0.5", "root of the polynomial with and without the leads")


# --- Uncertainty --------------------------------------------------------------------------------


def uncertainties():
    chance = np.random.default_rng(20240229)
    draws = 2_000_000
    drawn = lambda value, limit: chance.uniform(value - limit, value + limit, draws)
    how = f"{draws // 1_000_000} million random draws"

    volts = drawn(480, 0.005 * 480 + 2 * 0.1)
    meter = {"measured_voltage": "480.0 V", "voltage_percent": "0.5 %", "voltage_digits": "2",
             "voltage_last_digit": "0.1 V"}
    row("uncertainty", "meter-uncertainty", meter, "standard_uncertainty", volts.std(), "V", "0.5", how)

    for (u, u_limit), (i, i_limit), typed in [
            ((400, 0.005 * 400 + 0.2), (10, 0.01 * 10 + 0.03), ("400.0 V", "0.5 %", "10.00 A", "1 %", "3")),
            ((480, 0.01 * 480 + 0.2), (35, 0.03 * 35 + 0.05), ("480.0 V", "1 %", "35.00 A", "3 %", "5"))]:
        power = np.sqrt(3) * drawn(u, u_limit) * drawn(i, i_limit) * 0.85
        given = {"measured_voltage": typed[0], "voltage_percent": typed[1], "voltage_digits": "2",
                 "voltage_last_digit": "0.1 V", "measured_current": typed[2], "current_percent": typed[3],
                 "current_digits": typed[4], "current_last_digit": "0.01 A", "power_factor": "85 %"}
        row("uncertainty", "power-uncertainty", given, "standard_uncertainty",
            100 * power.std() / power.mean(), "%", "0.5", how)

    # Two lines that vie for the largest deviation fold the spread: a little less than propagated.
    for lines, share, tolerance in [((460, 467, 450), 0.005, "0..8"), ((400, 402, 380), 0.007, "3")]:
        cloud = np.array([drawn(line, share * line) for line in lines])
        unbalance = 100 * np.abs(cloud - cloud.mean(axis=0)).max(axis=0) / cloud.mean(axis=0)
        row("uncertainty", "unbalance-uncertainty", line_inputs(lines) | {"voltage_percent": f"{100 * share:g} %"},
            "expanded_uncertainty", 2 * unbalance.std(), "%", tolerance, how + ", unbalance of each")
    total = sum(chance.normal(0, part, draws) for part in (1.5, 0.8, 0.3))
    row("uncertainty", "combined-uncertainty",
        {"uncertainty_1": "1.5", "uncertainty_2": "0.8", "uncertainty_3": "0.3"}, "standard_uncertainty",
        total.std(), "", "0.5", how)


for area in [rectifiers, reactors, doubler, fluxes, dew, capacitors, components, thermal, motion, bus_energy, voltage_drop, reflections,
             potentiometers, sensors, uncertainties]:
    area()
out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow(["id", "check", "inputs", "output", "expected", "unit", "tolerance", "how"])
out.writerows(ROWS)
