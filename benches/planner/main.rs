//! How good the plan is and how long the next question takes, in tables from fixed seeds:
//! `cargo bench --bench planner`, or one table with `cargo bench --bench planner -- small`.

#[path = "../../tests/diagnosis/support/generated.rs"]
mod generated;

mod classes;
mod learning;
mod policy;
mod remade;
mod robust;
mod shipped;
mod small;
mod time;
mod walked;
mod world;

/// The tables by name.
const TABLES: [(&str, fn()); 6] = [
    ("time", time::print),
    ("small", small::print),
    ("cut-down", shipped::print_cut_down),
    ("shipped", shipped::print),
    ("robust", robust::print),
    ("learning", learning::print),
];

fn main() {
    let wanted: Vec<String> = std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with("--"))
        .collect();
    for (name, print) in TABLES {
        if wanted.is_empty() || wanted.iter().any(|word| word == name) {
            print();
            println!();
        }
    }
}
