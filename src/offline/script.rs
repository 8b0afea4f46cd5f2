//! The page's one script, put together from its files in the order in which they need each other.

/// The files: what all sums share, the sums, then quantities, engine, search and what is seen of them.
const FILES: &[&str] = &[
    include_str!("script/core.js"),
    include_str!("script/checks/shared.js"),
    include_str!("script/checks/braking.js"),
    include_str!("script/checks/bus-ceiling.js"),
    include_str!("script/checks/cable.js"),
    include_str!("script/checks/capacitor-life.js"),
    include_str!("script/checks/capacitor.js"),
    include_str!("script/checks/condensation.js"),
    include_str!("script/checks/contacts.js"),
    include_str!("script/checks/dc-bus.js"),
    include_str!("script/checks/derating.js"),
    include_str!("script/checks/display.js"),
    include_str!("script/checks/enclosure.js"),
    include_str!("script/checks/encoder.js"),
    include_str!("script/checks/generator.js"),
    include_str!("script/checks/inertia.js"),
    include_str!("script/checks/insulation-trend.js"),
    include_str!("script/checks/insulation.js"),
    include_str!("script/checks/line-reactor.js"),
    include_str!("script/checks/locked-rotor.js"),
    include_str!("script/checks/metering.js"),
    include_str!("script/checks/motor-cable.js"),
    include_str!("script/checks/motor-cooling.js"),
    include_str!("script/checks/motor-flux.js"),
    include_str!("script/checks/motor-table.js"),
    include_str!("script/checks/motor.js"),
    include_str!("script/checks/overload.js"),
    include_str!("script/checks/potentiometer.js"),
    include_str!("script/checks/precharge.js"),
    include_str!("script/checks/protection.js"),
    include_str!("script/checks/ride-through.js"),
    include_str!("script/checks/ripple.js"),
    include_str!("script/checks/safety.js"),
    include_str!("script/checks/sensors.js"),
    include_str!("script/checks/serial-bus.js"),
    include_str!("script/checks/signal.js"),
    include_str!("script/checks/single-phase-feed.js"),
    include_str!("script/checks/single-phasing.js"),
    include_str!("script/checks/sizing.js"),
    include_str!("script/checks/supply.js"),
    include_str!("script/checks/thermal-class.js"),
    include_str!("script/checks/trip-class.js"),
    include_str!("script/checks/unbalance.js"),
    include_str!("script/checks/winding.js"),
    include_str!("script/units.js"),
    include_str!("script/engine.js"),
    include_str!("script/words.js"),
    include_str!("script/search.js"),
    include_str!("script/place.js"),
    include_str!("script/behind.js"),
    include_str!("script/finder.js"),
    include_str!("script/forms.js"),
    include_str!("script/start.js"),
];

/// The script, without the comments and indents of its files: those who read it read the files.
pub fn text() -> String {
    let mut text = String::from("\n");
    for line in FILES.iter().flat_map(|file| file.lines()) {
        let line = line.trim();
        if !line.is_empty() && !line.starts_with("//") {
            text.push_str(line);
            text.push('\n');
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;
    use std::path::Path;

    #[test]
    fn every_file_of_the_folder_is_in_the_script() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/offline/script");
        for folder in [root.clone(), root.join("checks")] {
            for entry in fs::read_dir(folder).expect("the folder") {
                let path = entry.expect("an entry").path();
                if path.is_file() {
                    let text = fs::read_to_string(&path).expect("a script");
                    assert!(FILES.contains(&text.as_str()), "{}", path.display());
                }
            }
        }
    }

    /// Lines are taken one by one, which a text over several lines would not survive.
    #[test]
    fn no_text_goes_over_several_lines() {
        for line in FILES.iter().flat_map(|file| file.lines()) {
            assert!(line.matches('`').count() % 2 == 0, "{line}");
        }
    }

    #[test]
    fn no_part_of_it_ends_the_script_early_or_leaves_the_page() {
        let text = text();
        for word in [
            "</",
            "<!--",
            "innerHTML",
            "eval(",
            "fetch(",
            "XMLHttpRequest",
            "localStorage",
            "http:",
            "https:",
        ] {
            assert!(!text.contains(word), "{word}");
        }
    }
}
