//! The page for a phone's storage: what stands in it without a script, what its script computes and
//! finds, and how it serves somebody who holds it.

#[path = "../common/asked.rs"]
mod asked;
#[path = "../common/browser.rs"]
mod browser;
#[path = "../common/chance.rs"]
mod chance;
#[path = "../common/mod.rs"]
mod common;
#[allow(dead_code, reason = "the kind of a row is told by another test")]
#[path = "../common/rows.rs"]
mod described;
#[path = "../checks/values_machine/mod.rs"]
mod machine;
mod page;
#[path = "../checks/values_power.rs"]
mod power;
mod reader;
mod sums;

use std::path::PathBuf;
use std::sync::OnceLock;

use common::Plant;

/// The page as the program writes it; planning its trees takes a while, so that all tests share one.
pub struct Exported {
    /// Where it lies.
    pub file: PathBuf,
    /// What stands in it.
    pub text: String,
    _plant: Plant,
}

/// The page.
pub fn exported() -> &'static Exported {
    static PAGE: OnceLock<Exported> = OnceLock::new();
    PAGE.get_or_init(|| {
        let plant = Plant::tarn_hollow();
        let file = plant.file("whytrip.html", "");
        std::fs::remove_file(&file).expect("a name that is free");
        let run = plant.call("export-page").arg(&file).run().ended(0);
        assert!(run.out.contains("is written"), "{}", run.out);
        let text = std::fs::read_to_string(&file).expect("the page");
        Exported {
            file,
            text,
            _plant: plant,
        }
    })
}
