//! Inputs that several areas ask for, defined once so that a name always means the same thing.

use uom::si::f64::{ElectricCurrent, ElectricPotential, Ratio};
use uom::si::ratio::ratio;

use super::define::{
    CheckError, Input, Inputs, known, measured, nameplate, reading, said, setting,
};
use crate::quantity::Kind;

pub(super) const SUPPLY_VOLTAGE: Input = nameplate(
    "supply_voltage",
    Kind::Voltage,
    "V",
    ("90 V", "760 V"),
    "supply voltage, line to line, as measured or from the nameplate",
);
pub(super) const SUPPLY_FREQUENCY: Input = nameplate(
    "supply_frequency",
    Kind::Frequency,
    "Hz",
    ("45 Hz", "66 Hz"),
    "nominal frequency of the supply, 50 Hz or 60 Hz",
);
pub(super) const BUS_VOLTAGE: Input = reading(
    "bus_voltage",
    Kind::Voltage,
    "V",
    ("0 V", "1500 V"),
    "DC bus voltage between its plus and minus terminals",
);
pub(super) const BUS_CURRENT: Input = nameplate(
    "bus_current",
    Kind::Current,
    "A",
    ("0 A", "10 kA"),
    "current from the bridge into the DC bus; about the motor's power over the bus voltage",
);
pub(super) const STARTING_CURRENT: Input = reading(
    "starting_current",
    Kind::Current,
    "A",
    ("0 A", "40 kA"),
    "current in the first moment of a start straight from the line",
);
pub(super) const BUS_CAPACITANCE: Input = nameplate(
    "bus_capacitance",
    Kind::Capacitance,
    "µF",
    ("1 µF", "1 F"),
    "capacitance of the whole DC bus, from the drive's manual or the capacitors' labels",
);
pub(super) const CHARGED_BUS_VOLTAGE: Input =
    said(known(BUS_VOLTAGE), "DC bus voltage with the drive charged");
pub(super) const UNDERVOLTAGE_LIMIT: Input = nameplate(
    "undervoltage_limit",
    Kind::Voltage,
    "V",
    ("20 V", "1500 V"),
    "DC bus voltage at which this drive trips on undervoltage, from its own manual",
);
pub(super) const LINE_VOLTAGE: Input = reading(
    "line_voltage",
    Kind::Voltage,
    "V",
    ("0 V", "830 V"),
    "voltage between two lines, measured at the point that is judged",
);
pub(super) const VOLTAGE_L1_L2: Input =
    line_voltage("voltage_l1_l2", "voltage between lines 1 and 2");
pub(super) const VOLTAGE_L2_L3: Input =
    line_voltage("voltage_l2_l3", "voltage between lines 2 and 3");
pub(super) const VOLTAGE_L3_L1: Input =
    line_voltage("voltage_l3_l1", "voltage between lines 3 and 1");
pub(super) const CURRENT_L1: Input =
    line_current("current_l1", "current of line 1, clamped under load");
pub(super) const CURRENT_L2: Input =
    line_current("current_l2", "current of line 2, clamped under load");
pub(super) const CURRENT_L3: Input =
    line_current("current_l3", "current of line 3, clamped under load");
pub(super) const MEASURED_FREQUENCY: Input = reading(
    "measured_frequency",
    Kind::Frequency,
    "Hz",
    ("30 Hz", "80 Hz"),
    "frequency of the supply as measured",
);
pub(super) const OUTPUT_FREQUENCY: Input = reading(
    "output_frequency",
    Kind::Frequency,
    "Hz",
    ("0.1 Hz", "600 Hz"),
    "output frequency that the drive shows at this moment",
);
pub(super) const MOTOR_RATED_POWER: Input = nameplate(
    "motor_rated_power",
    Kind::Power,
    "kW",
    ("0.03 kW", "5 MW"),
    "rated shaft power, from the motor's nameplate",
);
pub(super) const MOTOR_RATED_VOLTAGE: Input = nameplate(
    "motor_rated_voltage",
    Kind::Voltage,
    "V",
    ("40 V", "760 V"),
    "rated voltage for the connection used, from the motor's nameplate",
);
pub(super) const MOTOR_RATED_CURRENT: Input = nameplate(
    "motor_rated_current",
    Kind::Current,
    "A",
    ("0.1 A", "5 kA"),
    "rated current for the connection used, from the motor's nameplate",
);
pub(super) const MOTOR_RATED_FREQUENCY: Input = nameplate(
    "motor_rated_frequency",
    Kind::Frequency,
    "Hz",
    ("10 Hz", "600 Hz"),
    "rated frequency, from the motor's nameplate",
);
pub(super) const MOTOR_RATED_SPEED: Input = nameplate(
    "motor_rated_speed",
    Kind::Speed,
    "rpm",
    ("50 rpm", "36000 rpm"),
    "rated speed, from the motor's nameplate",
);
pub(super) const MOTOR_SPEED: Input = nameplate(
    "motor_speed",
    Kind::Speed,
    "rpm",
    ("0.01 rpm", "60000 rpm"),
    "speed of the motor's shaft; for a ramp the speed at its upper end",
);
pub(super) const MEASURED_MOTOR_SPEED: Input = said(
    measured(MOTOR_SPEED),
    "speed of the motor's shaft, by tachometer or strobe",
);
pub(super) const INERTIA: Input = nameplate(
    "inertia",
    Kind::Inertia,
    "kg·m²",
    ("0.00001 kg·m²", "100000 kg·m²"),
    "inertia of motor and load together, referred to the motor shaft",
);
pub(super) const AMBIENT_TEMPERATURE: Input = reading(
    "ambient_temperature",
    Kind::Temperature,
    "°C",
    ("-40 °C", "90 °C"),
    "temperature of the air that the drive or motor takes in",
);
pub(super) const MOTOR_POLES: Input = nameplate(
    "motor_poles",
    Kind::Count,
    "",
    ("2", "48"),
    "number of poles, from the nameplate or from the rated speed",
);
pub(super) const MOTOR_SERVICE_FACTOR: Input = nameplate(
    "motor_service_factor",
    Kind::Ratio,
    "×",
    ("1 ×", "1.5 ×"),
    "service factor (SF), from the motor's nameplate; 1 if none is marked",
);
pub(super) const MOTOR_CURRENT: Input = reading(
    "motor_current",
    Kind::Current,
    "A",
    ("0 A", "40 kA"),
    "current of the motor, clamped or as the drive shows it",
);
pub(super) const OUTPUT_CURRENT: Input = reading(
    "output_current",
    Kind::Current,
    "A",
    ("0 A", "20 kA"),
    "output current that the drive shows",
);
pub(super) const DRIVE_RATED_CURRENT: Input = nameplate(
    "drive_rated_current",
    Kind::Current,
    "A",
    ("0.1 A", "5 kA"),
    "rated output current, from the drive's nameplate, for the duty it is used at",
);
pub(super) const DRIVE_INPUT_CURRENT: Input = nameplate(
    "drive_input_current",
    Kind::Current,
    "A",
    ("0.1 A", "5 kA"),
    "rated input current on its rated phases, from the drive's nameplate",
);
pub(super) const OVERLOAD_SETTING: Input = setting(
    "overload_setting",
    Kind::Current,
    "A",
    ("0.05 A", "5 kA"),
    "current at which the motor overload protection is set",
);
pub(super) const DIP_DURATION: Input = reading(
    "dip_duration",
    Kind::Time,
    "s",
    ("0.1 ms", "24 h"),
    "how long the supply stayed off its normal value, from a recorder or the event list",
);
pub(super) const REMAINING_VOLTAGE: Input = reading(
    "remaining_voltage",
    Kind::Ratio,
    "%",
    ("0 %", "250 %"),
    "voltage that remained during the event, in percent of nominal",
);
pub(super) const CABLE_LENGTH: Input = reading(
    "cable_length",
    Kind::Length,
    "m",
    ("0.1 m", "10 km"),
    "length of the cable, one way",
);

const fn line_voltage(name: &'static str, what: &'static str) -> Input {
    reading(name, Kind::Voltage, "V", ("0 V", "830 V"), what)
}

const fn line_current(name: &'static str, what: &'static str) -> Input {
    reading(name, Kind::Current, "A", ("0 A", "40 kA"), what)
}

/// The three line voltages, if all are known.
pub(super) fn three_voltages(inputs: &Inputs) -> Option<[ElectricPotential; 3]> {
    Some([
        inputs.voltage("voltage_l1_l2")?,
        inputs.voltage("voltage_l2_l3")?,
        inputs.voltage("voltage_l3_l1")?,
    ])
}

/// The three line currents, if all are known.
pub(super) fn three_currents(inputs: &Inputs) -> Option<[ElectricCurrent; 3]> {
    Some([
        inputs.current("current_l1")?,
        inputs.current("current_l2")?,
        inputs.current("current_l3")?,
    ])
}

/// A plain number as a ratio: 0.05 is 5 %.
pub(super) fn share(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

/// A ratio as a plain number: 5 % is 0.05.
pub(super) fn number(value: Ratio) -> f64 {
    value.get::<ratio>()
}

/// How far `value` lies outside `low..=high`; zero inside. The last bits of a sum don't count.
pub(super) fn beyond(value: f64, (low, high): (f64, f64)) -> f64 {
    let outside = (low - value).max(value - high);
    if outside > 1e-9 { outside } else { 0.0 }
}

/// Inputs that make no sense together.
pub(super) fn contradiction(text: impl Into<String>) -> CheckError {
    CheckError::Contradiction(text.into())
}
