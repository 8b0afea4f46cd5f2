//! How the program is linked.
//!
//! Where the machine has all it takes, a Linux program is linked whole and for a fixed address: its
//! libraries lie in its own file and the addresses in its tables are right as they stand there. A start
//! then neither looks for libraries nor corrects addresses one by one. Stack and heap still lie at random.

use std::path::Path;
use std::process::{Command, Stdio};
use std::{env, fs, io};

/// The C libraries that the standard library asks for by these names, and the archives that hold the same.
const LIBRARIES: [(&str, &[&str]); 7] = [
    ("libc.so", &["libc.a"]),
    ("libgcc_s.so", &["libgcc_eh.a", "libgcc.a", "libc.a"]),
    ("libm.so", &["libm.a"]),
    ("libpthread.so", &["libpthread.a"]),
    ("libdl.so", &["libdl.a"]),
    ("librt.so", &["librt.a"]),
    ("libutil.so", &["libutil.a"]),
];

/// A program that needs what this one needs of its libraries: memory, threads, unwinding, names.
const TRIAL: &str = r#"
use std::net::ToSocketAddrs;
fn main() {
    std::panic::set_hook(Box::new(|_| {}));
    let caught = std::thread::spawn(|| panic!("{}", std::env::args().count())).join();
    assert!(caught.is_err());
    assert!("127.0.0.1:80".to_socket_addrs().is_ok());
}
"#;

/// Tells Cargo how to link the programs and benches of this package.
///
/// # Errors
///
/// When the folder for built files can't be written to.
pub fn set_up(out: &Path) -> io::Result<()> {
    let target = |part: &str| env::var(format!("CARGO_CFG_TARGET_{part}")).unwrap_or_default();
    if target("OS") != "linux" || target("ENV") != "gnu" {
        return Ok(());
    }
    let mut arguments = vec!["-no-pie".to_owned()];
    let at_home = env::var_os("HOST") == env::var_os("TARGET");
    if at_home && let Some(folder) = stand_ins(out)? {
        let whole = vec![
            "-no-pie".to_owned(),
            "-static".to_owned(),
            format!("-L{folder}"),
        ];
        if links(out, &whole) {
            arguments = whole;
        }
    }
    for argument in arguments {
        println!("cargo::rustc-link-arg-bins={argument}");
        println!("cargo::rustc-link-arg-benches={argument}");
    }
    Ok(())
}

/// A folder with a linker script under the name of each shared library that leads to the archives
/// instead. The compiler asks for the C library by its shared name, whatever a build script says;
/// nothing if this machine has no archives.
fn stand_ins(out: &Path) -> io::Result<Option<String>> {
    let folder = out.join("libraries");
    fs::create_dir_all(&folder)?;
    for (shared, archives) in LIBRARIES {
        let mut paths = Vec::new();
        for name in archives {
            let Some(path) = archive(name) else {
                return Ok(None);
            };
            paths.push(path);
        }
        fs::write(
            folder.join(shared),
            format!("GROUP ( {} )\n", paths.join(" ")),
        )?;
    }
    Ok(folder.to_str().map(str::to_owned))
}

/// Where the C compiler has an archive; it gives the bare name back when it has none.
fn archive(name: &str) -> Option<String> {
    let asked = Command::new("cc")
        .arg(format!("-print-file-name={name}"))
        .output()
        .ok()?;
    let path = String::from_utf8(asked.stdout).ok()?.trim().to_owned();
    Path::new(&path).is_absolute().then_some(path)
}

/// Whether a small program linked like this can be made and runs.
fn links(out: &Path, arguments: &[String]) -> bool {
    let source = out.join("trial.rs");
    let program = out.join("trial");
    let compiler = env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let mut compile = Command::new(compiler);
    compile
        .args(["--edition=2024", "-o"])
        .arg(&program)
        .arg(&source);
    for argument in arguments {
        compile.arg("-C").arg(format!("link-arg={argument}"));
    }
    fs::write(&source, TRIAL).is_ok()
        && succeeds(&mut compile)
        && succeeds(&mut Command::new(&program))
}

fn succeeds(command: &mut Command) -> bool {
    let run = command.stdout(Stdio::null()).stderr(Stdio::null()).status();
    run.is_ok_and(|status| status.success())
}
