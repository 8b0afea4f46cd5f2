//! The cabinet: what heat its walls pass, how warm it gets, how much air it needs.

use uom::si::area::square_meter;
use uom::si::f64::{
    Area, HeatTransfer, Length, Power, Ratio, TemperatureInterval, ThermodynamicTemperature,
    VolumeRate,
};
use uom::si::power::watt;
use uom::si::temperature_interval::kelvin as kelvin_interval;
use uom::si::thermodynamic_temperature::kelvin;
use uom::si::volume_rate::cubic_meter_per_hour;

use super::define::{
    Check, Example, Input, Outputs, Verdict, assumed, band, choice, known, nameplate, optional,
    output, said,
};
use super::derating::{AMBIENT_LIMIT, difference};
use super::shared::AMBIENT_TEMPERATURE;
use crate::quantity::Kind;

/// Where a cabinet stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Placement {
    /// Free on all sides.
    FreeStanding,
    /// Alone, its rear to a wall.
    AgainstWall,
    /// First or last of a row, rear free.
    EndOfRow,
    /// First or last of a row at a wall.
    EndOfRowAtWall,
    /// Within a row, rear free.
    MiddleOfRow,
    /// Within a row at a wall.
    MiddleOfRowAtWall,
}

/// Surface of a cabinet that gives off heat.
///
/// Formula: `A = Σ b · A₀` with `b` 1.4 for the top, 0.9 for a free face, 0.5 for a covered one;
///          free-standing `1.8·H·(W + D) + 1.4·W·D`
/// Symbols: `H`, `W`, `D` height, width, depth [m]
/// Valid:   closed cabinet without forced air
/// Source:  iec-60890, surface factors (rows other than free-standing, wall, middle at wall from memory)
pub fn effective_area(height: Length, width: Length, depth: Length, placement: Placement) -> Area {
    use Placement::{
        AgainstWall, EndOfRow, EndOfRowAtWall, FreeStanding, MiddleOfRow, MiddleOfRowAtWall,
    };
    let (free, covered) = (0.9, 0.5);
    let rear = match placement {
        FreeStanding | EndOfRow | MiddleOfRow => free,
        AgainstWall | EndOfRowAtWall | MiddleOfRowAtWall => covered,
    };
    let sides = match placement {
        FreeStanding | AgainstWall => 2.0 * free,
        EndOfRow | EndOfRowAtWall => free + covered,
        MiddleOfRow | MiddleOfRowAtWall => 2.0 * covered,
    };
    height * width * (free + rear) + height * depth * sides + width * depth * 1.4
}

/// Heat that the walls pass: `P = k · A · ΔT`.
///
/// Symbols: `k` heat transfer, 5.5 W/(m²·K) for painted steel; `A` effective area; `ΔT` inside over outside
/// Source:  iec-60890 for the area; practice for `k`
pub fn wall_heat(transfer: HeatTransfer, area: Area, rise: TemperatureInterval) -> Power {
    Power::new::<watt>(transfer.value * area.value * rise.value)
}

/// Temperature inside over outside: `ΔT = P / (k · A)`.
///
/// Source: as for [`wall_heat`]
pub fn inside_rise(heat: Power, transfer: HeatTransfer, area: Area) -> TemperatureInterval {
    TemperatureInterval::new::<kelvin_interval>(heat.value / (transfer.value * area.value))
}

/// Area that passes a heat at a rise: `A = P / (k · ΔT)`.
///
/// Source: as for [`wall_heat`]
pub fn area_needed(heat: Power, transfer: HeatTransfer, rise: TemperatureInterval) -> Area {
    Area::new::<square_meter>(heat.value / (transfer.value * rise.value))
}

/// Cubic metres per hour for each watt and kelvin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AirConstant {
    /// 3.1, common in the trade, right for warm air. Source: practice.
    Common,
    /// 3600 / (1.2 kg/m³ · 1005 J/(kg·K)) = 2.985, air at 20 °C.
    AirAt20,
}

/// Air flow that carries a heat at a rise.
///
/// Formula: `V = c · P / ΔT`
/// Symbols: `V` air flow [m³/h]; `c` 3.1 as the trade reckons, 2.985 by air at 20 °C; `P` heat [W]; `ΔT` rise of the air [K]
/// Valid:   clean filter, near sea level
/// Source:  practice (3.1); density and heat capacity of air (2.985)
pub fn air_flow(heat: Power, rise: TemperatureInterval, constant: AirConstant) -> VolumeRate {
    let per_watt = match constant {
        AirConstant::Common => 3.1,
        AirConstant::AirAt20 => 3600.0 / (1.2 * 1005.0),
    };
    VolumeRate::new::<cubic_meter_per_hour>(per_watt * heat.value / rise.value)
}

const fn side(name: &'static str, what: &'static str) -> Input {
    nameplate(name, Kind::Length, "m", ("0.05 m", "20 m"), what)
}

const HEAT_LOSS: Input = nameplate(
    "heat_loss",
    Kind::Power,
    "W",
    ("1 W", "1 MW"),
    "losses of all devices inside, from their papers",
);
const AREA: Input = nameplate(
    "enclosure_area",
    Kind::Area,
    "m²",
    ("0.01 m²", "500 m²"),
    "effective area of the cabinet, as enclosure-area gives it",
);
const TRANSFER: Input = assumed(
    nameplate(
        "heat_transfer",
        Kind::HeatTransfer,
        "W/(m²·K)",
        ("1 W/m²K", "30 W/m²K"),
        "heat that a square metre passes for each kelvin: 5.5 painted steel, 3.7 stainless steel",
    ),
    "5.5 W/m²K",
);
const RISE: Input = nameplate(
    "temperature_rise",
    Kind::TemperatureDifference,
    "K",
    ("0.5 K", "60 K"),
    "rise inside over outside that the devices allow",
);

/// The checks of this area.
pub const CHECKS: &[Check] = &[
    Check {
        name: "enclosure-area",
        purpose: "Surface of a cabinet that gives off heat, by where it stands",
        inputs: &[
            side("enclosure_height", "height of the cabinet"),
            side("enclosure_width", "width of the cabinet"),
            side("enclosure_depth", "depth of the cabinet"),
            choice(
                "placement",
                &[
                    "free-standing",
                    "against-wall",
                    "end-of-row",
                    "end-of-row-at-wall",
                    "middle-of-row",
                    "middle-of-row-at-wall",
                ],
                "where the cabinet stands",
            ),
        ],
        outputs: &[output("area", Kind::Area, "m²", "effective area")],
        formula: "A = 1.4·W·D + H·W·(0.9 + b_rear) + H·D·(b_left + b_right), b = 0.9 free, 0.5 covered (H, W, D: height, width, depth)",
        valid: "closed cabinet, top free, no forced air",
        sources: &["iec-60890: surface factors (end of row and rear free from memory)"],
        expect: &["{area}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[
                ("enclosure_height", "2.0 m"),
                ("enclosure_width", "0.8 m"),
                ("enclosure_depth", "0.6 m"),
            ],
            output: ("area", "5.712 m²"),
            tolerance: 1e-6,
        },
        compute: |inputs| {
            let placement = match inputs.word("placement") {
                Some("against-wall") => Placement::AgainstWall,
                Some("end-of-row") => Placement::EndOfRow,
                Some("end-of-row-at-wall") => Placement::EndOfRowAtWall,
                Some("middle-of-row") => Placement::MiddleOfRow,
                Some("middle-of-row-at-wall") => Placement::MiddleOfRowAtWall,
                _ => Placement::FreeStanding,
            };
            let area = inputs
                .length("enclosure_height")
                .zip(inputs.length("enclosure_width"))
                .zip(inputs.length("enclosure_depth"))
                .map(|((height, width), depth)| effective_area(height, width, depth, placement));
            Ok(Outputs::new().with_some("area", area))
        },
    },
    Check {
        name: "enclosure-dissipation",
        purpose: "Heat that the cabinet's walls pass at a rise, against the losses inside",
        inputs: &[AREA, RISE, TRANSFER, optional(HEAT_LOSS)],
        outputs: &[
            output("dissipation", Kind::Power, "W", "heat that the walls pass"),
            output(
                "area_needed",
                Kind::Area,
                "m²",
                "area that would pass the losses",
            ),
            output(
                "ratio",
                Kind::Ratio,
                "%",
                "losses against what the walls pass",
            ),
        ],
        formula: "P = k · A · ΔT (P: heat; k: heat transfer; A: effective area; ΔT: rise inside over outside)",
        valid: "closed cabinet, air inside stirred; k 5.5 for painted steel, 3.7 to 4.5 for stainless",
        sources: &["iec-60890: surface factors", "practice"],
        expect: &[
            "losses up to {dissipation}, as {heat_transfer} × {enclosure_area} × {temperature_rise}",
        ],
        bands: &[
            band(
                "ratio > 100 %",
                Verdict::Bad,
                "More than the walls pass: it needs air or a cooler.",
                "practice",
            ),
            band(
                "ratio > 90 %",
                Verdict::Suspect,
                "Hardly any margin for dirt or a hot day.",
                "practice",
            ),
            band(
                "",
                Verdict::Normal,
                "The walls pass the losses.",
                "practice",
            ),
        ],
        doubtful: &["ratio > 5000 %"],
        example: Example {
            inputs: &[("enclosure_area", "5.712 m²"), ("temperature_rise", "10 K")],
            output: ("dissipation", "314.2 W"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let transfer = inputs.heat_transfer("heat_transfer");
            let rise = inputs.temperature_difference("temperature_rise");
            let loss = inputs.power("heat_loss");
            let walls = transfer.zip(rise);
            let passed = walls
                .zip(inputs.area("enclosure_area"))
                .map(|((transfer, rise), area)| wall_heat(transfer, area, rise));
            let needed = walls
                .zip(loss)
                .map(|((transfer, rise), loss)| area_needed(loss, transfer, rise));
            Ok(Outputs::new()
                .with_some("dissipation", passed)
                .with_some("area_needed", needed)
                .with_some(
                    "ratio",
                    loss.zip(passed)
                        .map(|(loss, passed)| -> Ratio { loss / passed }),
                ))
        },
    },
    Check {
        name: "enclosure-rise",
        purpose: "How warm a closed cabinet gets inside",
        inputs: &[
            HEAT_LOSS,
            AREA,
            TRANSFER,
            optional(said(known(AMBIENT_TEMPERATURE), "temperature of the room")),
            AMBIENT_LIMIT,
        ],
        outputs: &[
            output(
                "rise",
                Kind::TemperatureDifference,
                "K",
                "inside over outside",
            ),
            output(
                "inside_temperature",
                Kind::Temperature,
                "°C",
                "temperature inside",
            ),
            output(
                "margin",
                Kind::TemperatureDifference,
                "K",
                "limit minus inside",
            ),
        ],
        formula: "ΔT = P / (k · A) (P: losses; k: heat transfer; A: effective area)",
        valid: "closed cabinet, air inside stirred, load steady",
        sources: &[
            "iec-60890: surface factors",
            "iec-61800-2: 40 °C (from memory)",
            "practice",
        ],
        expect: &[
            "{inside_temperature} inside, {rise} above the room",
            "{rise} above the room",
        ],
        bands: &[
            band(
                "margin < 0 K",
                Verdict::Bad,
                "Hotter inside than the drive may have its air: it needs air or a cooler.",
                "iec-61800-2",
            ),
            band(
                "margin < 5 K",
                Verdict::Suspect,
                "Hardly any margin for a hot day.",
                "practice",
            ),
            band("", Verdict::Normal, "Cool enough inside.", "iec-61800-2"),
        ],
        doubtful: &["rise > 100 K"],
        example: Example {
            inputs: &[("heat_loss", "300 W"), ("enclosure_area", "5.072 m²")],
            output: ("rise", "10.75 K"),
            tolerance: 1e-3,
        },
        compute: |inputs| {
            let rise = inputs
                .power("heat_loss")
                .zip(inputs.heat_transfer("heat_transfer"))
                .zip(inputs.area("enclosure_area"))
                .map(|((heat, transfer), area)| inside_rise(heat, transfer, area));
            let inside = inputs
                .temperature("ambient_temperature")
                .zip(rise)
                .map(|(room, rise)| {
                    ThermodynamicTemperature::new::<kelvin>(room.value + rise.value)
                });
            let margin = inputs
                .temperature("ambient_limit")
                .zip(inside)
                .map(|(limit, inside)| difference(limit, inside));
            Ok(Outputs::new()
                .with_some("rise", rise)
                .with_some("inside_temperature", inside)
                .with_some("margin", margin))
        },
    },
    Check {
        name: "enclosure-airflow",
        purpose: "Air flow that carries the losses out of a cabinet",
        inputs: &[
            HEAT_LOSS,
            RISE,
            choice(
                "rule",
                &["common", "air-at-20"],
                "3.1 m³/h for each W/K as the trade reckons, or 2.985 by the physics of air at 20 °C",
            ),
        ],
        outputs: &[output("airflow", Kind::Airflow, "m³/h", "air flow needed")],
        formula: "V = c · P / ΔT (V: air flow in m³/h; c: 3.1 or 2.985; P: losses; ΔT: rise of the air)",
        valid: "clean filter, near sea level; a fan's free-blowing figure is far above what it gives here",
        sources: &["practice"],
        expect: &["{airflow} through the filters, for {heat_loss} at {temperature_rise}"],
        bands: &[],
        doubtful: &[],
        example: Example {
            inputs: &[("heat_loss", "500 W"), ("temperature_rise", "10 K")],
            output: ("airflow", "155 m³/h"),
            tolerance: 1e-9,
        },
        compute: |inputs| {
            let constant = match inputs.word("rule") {
                Some("air-at-20") => AirConstant::AirAt20,
                _ => AirConstant::Common,
            };
            let flow = inputs
                .power("heat_loss")
                .zip(inputs.temperature_difference("temperature_rise"))
                .map(|(heat, rise)| air_flow(heat, rise, constant));
            Ok(Outputs::new()
                .with_some("airflow", flow)
                .note(match constant {
                    AirConstant::Common => "By the trade's constant 3.1 m³/h for each W/K.",
                    AirConstant::AirAt20 => {
                        "By the physics of air at 20 °C, 2.985 m³/h for each W/K."
                    }
                }))
        },
    },
];
