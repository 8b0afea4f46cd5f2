//! What the register keeps of a drive besides what the checks take.

use crate::quantity::Kind;

/// A value that the register keeps and no check takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Kept {
    /// Its name, as in a nameplate.
    pub name: &'static str,
    /// What it is.
    pub what: &'static str,
    /// What kind of quantity it is; none for words.
    pub kind: Option<Kind>,
}

/// All of them, in the order of a table's columns.
pub const KEPT: [Kept; 7] = [
    Kept {
        name: "supply_earthing",
        what: "how the supply is earthed, in words of IEC 60364-1: TN-S, TN-C-S, TT, IT",
        kind: None,
    },
    Kept {
        name: "drive_input_current",
        what: "rated input current, from the drive's nameplate",
        kind: Some(Kind::Current),
    },
    Kept {
        name: "overvoltage_limit",
        what: "DC bus voltage at which the drive trips on overvoltage, from its own manual",
        kind: Some(Kind::Voltage),
    },
    Kept {
        name: "control_source",
        what: "where start and speed come from: terminals, panel, network",
        kind: None,
    },
    Kept {
        name: "links",
        what: "what it is linked with: network, shared bus, other drives, safety relay",
        kind: None,
    },
    Kept {
        name: "meter",
        what: "the meter that is used on it",
        kind: None,
    },
    Kept {
        name: "manual",
        what: "the manual and the edition that its figures are from",
        kind: None,
    },
];

/// The value of this name.
pub fn kept(name: &str) -> Option<&'static Kept> {
    KEPT.iter().find(|kept| kept.name == name)
}

/// The texts of a drive that are not on its nameplate, in the order of a table's columns.
pub const TEXTS: [&str; 6] = ["id", "name", "place", "duty", "model", "notes"];

/// The names on the nameplate that a table has columns for, whether or not a drive of it has them.
/// Any other name that a check takes may have a column as well.
pub const USUAL: [&str; 38] = [
    "supply_voltage",
    "supply_phases",
    "supply_frequency",
    "supply_earthing",
    "drive_input_current",
    "drive_rated_current",
    "drive_duty",
    "drive_overload",
    "drive_overload_time",
    "undervoltage_limit",
    "overvoltage_limit",
    "chopper_threshold",
    "chopper_current",
    "bus_capacitance",
    "precharge_resistance",
    "brake_resistance",
    "motor_rated_power",
    "motor_rated_voltage",
    "motor_rated_current",
    "motor_rated_frequency",
    "motor_rated_speed",
    "motor_poles",
    "motor_power_factor",
    "motor_efficiency",
    "motor_service_factor",
    "connection",
    "thermal_class",
    "cable_length",
    "conductor_area",
    "switching_frequency",
    "inertia",
    "acceleration_time",
    "deceleration_time",
    "cycle_time",
    "control_source",
    "links",
    "meter",
    "manual",
];
