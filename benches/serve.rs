//! Pages under load on loopback: a step of a walk over HTTP against the same step in process, then
//! fifty people at once who search and walk without a pause: `cargo bench --bench serve`.
//!
//! Both ends run on this machine, so the figures are an upper bound. Steps that nobody has asked for
//! before are planned anew; the second round finds them planned.

use std::hint::black_box;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use whytrip::builtin;
use whytrip::diagnosis::case::{Case, History};
use whytrip::diagnosis::reply;
use whytrip::diagnosis::walk::{Given, Turn, Walk};
use whytrip::knowledge::Library;
use whytrip::render::doc::Document;
use whytrip::render::html::fragment;
use whytrip::render::walk as render;

const CLIENTS: usize = 50;
const REQUESTS: usize = 60;
/// The first so many classes give the steps.
const CLASSES: usize = 40;

fn main() {
    let library = builtin::knowledge().expect("the knowledge opens");
    let folder = tempfile::tempdir().expect("a folder");
    let steps = steps(&library);
    let mut server = serve(folder.path());
    let address = server.address;

    let mut inside: Vec<Duration> = steps
        .iter()
        .map(|step| in_process(&library, step))
        .collect();
    let mut client = Client::new(address);
    let mut cold: Vec<Duration> = steps.iter().map(|step| client.get(&step.address)).collect();
    let mut warm: Vec<Duration> = steps.iter().map(|step| client.get(&step.address)).collect();
    let total = |times: &[Duration]| times.iter().sum::<Duration>().as_secs_f64();
    println!("{} steps of {CLASSES} classes", steps.len());
    println!(
        "over HTTP, planned anew, to in process: {:.2}",
        total(&cold) / total(&inside)
    );
    for (name, times) in [
        ("in process", &mut inside),
        ("over HTTP, planned anew", &mut cold),
        ("over HTTP, planned before", &mut warm),
    ] {
        tell(name, times);
    }

    let searches: Vec<String> = library
        .classes()
        .flat_map(|class| class.phrases.iter().take(4).cloned())
        .map(|phrase| {
            let words: String = form_urlencoded::byte_serialize(phrase.as_bytes()).collect();
            format!("/find?words={words}")
        })
        .collect();
    let walks: Vec<String> = steps.into_iter().map(|step| step.address).collect();
    for (name, paths) in [("search", &searches), ("walk step", &walks)] {
        let mut times = crowd(address, paths);
        tell(&format!("{CLIENTS} clients, {name}"), &mut times);
    }
    if let Some(megabytes) = server.peak_megabytes() {
        println!("peak memory of the server: {megabytes:.1} MB");
    }
    server.end();
}

/// A step: the class, what was answered before it, and its address.
struct Step {
    class: String,
    findings: Vec<(usize, usize)>,
    address: String,
}

/// The first three questions of each class, every finding of the first two taken.
fn steps(library: &Library) -> Vec<Step> {
    let mut steps = Vec::new();
    for class in library.classes().take(CLASSES) {
        let case = Case::compile(library, class, History::default()).expect("a model");
        let mut open = vec![(
            Walk::new(case, Default::default()),
            Vec::new(),
            format!("/walk/{}", class.id),
        )];
        while let Some((walk, findings, address)) = open.pop() {
            if findings.len() < 2
                && let Ok(Turn::Ask { question, .. }) = walk.turn()
            {
                let asked = walk.case.questions[question];
                for (index, finding) in asked.findings.iter().enumerate() {
                    let given = Given::Found {
                        question,
                        reply: Box::new(reply::by_finding(asked, index)),
                    };
                    let mut findings: Vec<(usize, usize)> = findings.clone();
                    findings.push((question, index));
                    let join = if address.contains('?') { '&' } else { '?' };
                    let address = format!("{address}{join}{}={}", asked.id, finding.id);
                    open.push((walk.answered(given, false), findings, address));
                }
            }
            steps.push(Step {
                class: class.id.clone(),
                findings,
                address: format!(
                    "{address}{}may=live&may=isolated",
                    if address.contains('?') { '&' } else { '?' }
                ),
            });
        }
    }
    steps
}

/// The same as the page computes, without the page's frame.
fn in_process(library: &Library, step: &Step) -> Duration {
    let start = Instant::now();
    let class = library.class(&step.class).expect("a class");
    let case = Case::compile(library, class, History::default()).expect("a model");
    let mut walk = Walk::new(case, Default::default());
    for (question, finding) in &step.findings {
        let reply = reply::by_finding(walk.case.questions[*question], *finding);
        let given = Given::Found {
            question: *question,
            reply: Box::new(reply),
        };
        walk = walk.answered(given, false);
    }
    let mut document = Document::new();
    if let Ok(Turn::Ask {
        question,
        confirms,
        plan,
    }) = walk.turn()
    {
        document.append(render::question(library, &walk, question, confirms, &plan));
    }
    document.append(render::standing(&walk, None).expect("a standing"));
    black_box(fragment(&document, &|_| None, 0));
    start.elapsed()
}

/// Fifty clients, each with a connection of its own, without a pause between requests.
fn crowd(address: SocketAddr, paths: &[String]) -> Vec<Duration> {
    thread::scope(|scope| {
        let clients: Vec<_> = (0..CLIENTS)
            .map(|number| {
                scope.spawn(move || {
                    let mut client = Client::new(address);
                    let paths = paths.iter().cycle().skip(number * 7).take(REQUESTS);
                    paths.map(|path| client.get(path)).collect::<Vec<_>>()
                })
            })
            .collect();
        clients
            .into_iter()
            .flat_map(|client| client.join().expect("a client that ends"))
            .collect()
    })
}

fn tell(name: &str, times: &mut [Duration]) {
    times.sort_unstable();
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize].as_secs_f64() * 1e3;
    println!("{name}: median {:.2} ms, p99 {:.2} ms", at(0.5), at(0.99));
}

struct Serving {
    child: Child,
    address: SocketAddr,
}

fn serve(folder: &Path) -> Serving {
    let mut child = Command::new(env!("CARGO_BIN_EXE_whytrip"))
        .arg("--data")
        .arg(folder)
        .args(["serve", "--port", "0"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    let mut output = BufReader::new(child.stdout.take().expect("its output"));
    let mut line = String::new();
    output.read_line(&mut line).expect("a line");
    let (_, address) = line.split_once("://").expect("an address");
    let address = address.trim().trim_end_matches('/').parse();
    Serving {
        child,
        address: address.expect("an address"),
    }
}

impl Serving {
    fn peak_megabytes(&self) -> Option<f64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = status
            .lines()
            .find_map(|line| line.strip_prefix("VmHWM:"))?;
        let kilobytes: f64 = line.trim().trim_end_matches("kB").trim().parse().ok()?;
        Some(kilobytes / 1024.0)
    }

    fn end(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A connection that is kept.
struct Client {
    stream: BufReader<TcpStream>,
    host: SocketAddr,
}

impl Client {
    fn new(host: SocketAddr) -> Client {
        let stream = TcpStream::connect(host).expect("a connection");
        stream.set_nodelay(true).expect("no delay");
        Client {
            stream: BufReader::new(stream),
            host,
        }
    }

    /// Loads a page to its end.
    fn get(&mut self, path: &str) -> Duration {
        let start = Instant::now();
        let request = format!("GET {path} HTTP/1.1\r\nHost: {}\r\n\r\n", self.host);
        let stream = self.stream.get_mut();
        stream.write_all(request.as_bytes()).expect("a request");
        let mut length = 0;
        let mut line = String::new();
        self.stream.read_line(&mut line).expect("a status");
        assert!(line.contains(" 200 "), "{path}: {line}");
        loop {
            line.clear();
            self.stream.read_line(&mut line).expect("a header");
            if let Some(count) = line.to_ascii_lowercase().strip_prefix("content-length:") {
                length = count.trim().parse().expect("a length");
            }
            if line == "\r\n" {
                break;
            }
        }
        let mut body = vec![0; length];
        self.stream.read_exact(&mut body).expect("a body");
        start.elapsed()
    }
}
