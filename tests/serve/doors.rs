//! What may come in over HTTP and what may not: names, forms, sizes, paths, the pass phrase, TLS. Each
//! case names the weakness that it would be (CWE, MITRE's public list).

use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::Arc;
use std::time::{Duration, Instant};

use crate::common::Plant;
use crate::serving::{Serving, attributes, hidden};

/// What is sent as it is, and the status that comes back (none: the connection is closed).
#[test]
fn malformed_and_hostile_requests_are_refused_and_the_next_one_is_served() {
    let plant = Plant::tarn_hollow();
    let serving = Serving::start(&plant.data(), &[]);
    let host = format!("Host: {}", serving.address);
    let request =
        |line: &str, heads: &str| format!("{line}\r\n{heads}\r\nConnection: close\r\n\r\n");
    let many: String = (0..100).map(|n| format!("X-{n}: 1\r\n")).collect();
    let long_walk = format!("/walk/ground-fault?{}", "a=1&".repeat(2_100));
    let cases: Vec<(&str, Vec<u8>, Option<u16>)> = vec![
        ("no request at all", b"\r\n\r\n\r\n".to_vec(), None),
        ("noise", b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03".repeat(50), Some(400)),
        ("a request line without a version", b"GET /\r\n\r\n".to_vec(), Some(400)),
        ("an old version without a host (CWE-346)", b"GET / HTTP/1.0\r\n\r\n".to_vec(), Some(421)),
        ("a foreign host (CWE-350, DNS rebinding)", request("GET / HTTP/1.1", "Host: evil.example").into(), Some(421)),
        ("a foreign address as host", request("GET / HTTP/1.1", "Host: 192.0.2.7").into(), Some(421)),
        ("two hosts (CWE-444)", request("GET / HTTP/1.1", &format!("{host}\r\n{host}")).into(), Some(421)),
        ("two lengths (CWE-444)", request("POST /log HTTP/1.1", &format!("{host}\r\nContent-Length: 4\r\nContent-Length: 5")).into(), Some(400)),
        ("a length that is no number", request("POST /log HTTP/1.1", &format!("{host}\r\nContent-Length: -1")).into(), Some(400)),
        ("an unknown method", request("BREW / HTTP/1.1", &host).into(), Some(405)),
        ("deleting (CWE-650)", request("DELETE /log/1 HTTP/1.1", &host).into(), Some(405)),
        ("a hundred headers (CWE-770)", request("GET / HTTP/1.1", &format!("{host}\r\n{many}X: 1")).into(), Some(431)),
        ("an endless header (CWE-770)", request("GET / HTTP/1.1", &format!("{host}\r\nX: {}", "a".repeat(40_000))).into(), Some(431)),
        ("an endless walk (CWE-770)", request(&format!("GET {long_walk} HTTP/1.1"), &host).into(), Some(404)),
        ("a giant form (CWE-770)", request("POST /log HTTP/1.1", &format!("{host}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 900000000")).into(), Some(413)),
        ("up and out (CWE-22)", request("GET /attachment/../log.db HTTP/1.1", &host).into(), Some(404)),
        ("up and out, escaped (CWE-23)", request("GET /attachment/%2e%2e/log.db HTTP/1.1", &host).into(), Some(404)),
        ("up and out, escaped slash", request("GET /attachment/..%2flog.db HTTP/1.1", &host).into(), Some(404)),
        ("up and out, the other slash (CWE-29)", request("GET /attachment/..%5clog.db HTTP/1.1", &host).into(), Some(404)),
        ("an absolute path (CWE-36)", request("GET /attachment//etc/passwd HTTP/1.1", &host).into(), Some(404)),
        ("a byte that is no text (CWE-838)", request("GET /show/%ff%fe HTTP/1.1", &host).into(), Some(400)),
        ("a zero byte (CWE-158)", request("GET /drive/a%00b HTTP/1.1", &host).into(), Some(404)),
        ("an absolute address of another site", request("GET http://evil.example/ HTTP/1.1", &host).into(), Some(421)),
    ];
    let mut wrong = Vec::new();
    for (what, bytes, wanted) in cases {
        let answer = serving.raw(&bytes);
        let status = answer
            .split(' ')
            .nth(1)
            .and_then(|code| code.parse::<u16>().ok());
        if status != wanted {
            wrong.push(format!("{what}: {status:?}, not {wanted:?}"));
        }
        assert!(!answer.contains("root:"), "{what}: {answer}");
        serving.browser().get("/").ended(200);
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_form_counts_only_from_a_page_of_ours() {
    let plant = Plant::tarn_hollow();
    let serving = Serving::start(&plant.data(), &[]);
    let mut browser = serving.browser();
    let page = browser.get("/log/new").ended(200).body;
    let (token, id) = (
        hidden(&page, "token").to_owned(),
        hidden(&page, "id").to_owned(),
    );
    let form = [("token", token.as_str()), ("id", &id), ("words", "forged")];

    // CWE-352: without the cookie, with another token, from another site by two kinds of browser.
    serving.browser().post("/log", &form).ended(403);
    browser
        .post(
            "/log",
            &[("token", "0"), ("id", &id), ("words", "kept text")],
        )
        .ended(403)
        .says("kept text");
    for elsewhere in [
        ("Sec-Fetch-Site", "cross-site"),
        ("Sec-Fetch-Site", "same-site"),
        ("Origin", "http://evil.example"),
        ("Origin", "null"),
    ] {
        browser.post_with("/log", &form, &[elsewhere]).ended(403);
    }
    plant.run("log list --json").says_nothing_of("forged");
    let own = format!("http://{}", serving.address);
    browser
        .post_with(
            "/log",
            &form,
            &[("Origin", &own), ("Sec-Fetch-Site", "same-origin")],
        )
        .ended(303);
}

#[test]
fn every_answer_forbids_script_and_frames_from_elsewhere() {
    let plant = Plant::tarn_hollow();
    let serving = Serving::start(&plant.data(), &[]);
    let mut browser = serving.browser();
    for path in [
        "/",
        "/nothing",
        "/look.css",
        "/log/new",
        "/walk/ground-fault",
    ] {
        let answer = browser.get(path);
        let policy = answer.header("content-security-policy").expect("a policy");
        for part in [
            "default-src 'none'",
            "script-src 'self'",
            "frame-ancestors 'none'",
            "base-uri 'none'",
        ] {
            assert!(policy.contains(part), "{path}: {policy}");
        }
        assert!(!policy.contains("unsafe"), "{path}: {policy}");
        assert_eq!(
            answer.header("x-content-type-options"),
            Some("nosniff"),
            "{path}"
        );
        assert!(!answer.body.contains("<script>"), "{path}");
        assert!(!answer.body.contains(" style=\""), "{path}");
    }
    let cookie = serving.browser().get("/");
    let cookie = cookie.header("set-cookie").expect("a cookie");
    for part in ["HttpOnly", "SameSite=Strict"] {
        assert!(cookie.contains(part), "{cookie}");
    }
}

/// CWE-79: what people and files wrote is text on every page.
#[test]
fn notes_and_names_are_text_not_markup() {
    const EVIL: &str = "<img src=x onerror=alert(1)>\"'&<script>alert(2)</script>";
    let plant = Plant::tarn_hollow();
    let drives = plant.file(
        "drives.yaml",
        &format!("- id: evil\n  name: '{0}'\n  place: '{0}'\n  notes: '{0}'\n  nameplate: {{supply_voltage: '400 V'}}\n", EVIL.replace('\'', "''")),
    );
    plant.call("drive add --file").arg(drives).run().ended(0);
    let serving = Serving::start(&plant.data(), &[]);
    let mut browser = serving.browser();
    let page = browser.get("/log/new").body;
    let form = [
        ("token", hidden(&page, "token")),
        ("id", hidden(&page, "id")),
        ("words", EVIL),
        ("display", EVIL),
        ("drive", EVIL),
        ("done", EVIL),
        ("notes", EVIL),
        ("who", EVIL),
        ("cause_note", EVIL),
    ];
    let saved = browser.post("/log", &form);
    let place = match saved.status {
        303 => saved.header("location").expect("a place").to_owned(),
        _ => {
            assert!(!saved.body.contains("<img"), "{}", saved.body);
            let form: Vec<_> = form
                .into_iter()
                .filter(|(name, _)| *name != "drive" && *name != "who")
                .collect();
            browser
                .post("/log", &form)
                .ended(303)
                .header("location")
                .expect("a place")
                .to_owned()
        }
    };
    let escaped: String = form_urlencoded::byte_serialize(EVIL.as_bytes()).collect();
    for path in [
        place,
        "/log".to_owned(),
        "/drive".to_owned(),
        "/drive/evil".to_owned(),
        format!("/find?words={escaped}"),
        format!("/find?part=1&words={escaped}"),
        format!("/log?words={escaped}"),
        format!("/log/new?words={escaped}&notes={escaped}&class={escaped}"),
        format!("/walk/ground-fault?drive={escaped}&{escaped}={escaped}"),
        format!("/walk/ground-fault?trip-moment={escaped}"),
        format!("/check/bus-at-rest?supply_voltage={escaped}"),
        format!("/decode?word={escaped}"),
        format!("/show/{escaped}"),
        format!("/check/{escaped}"),
        format!("/drive/{escaped}"),
    ] {
        let body = browser.get(&path).body;
        assert!(
            !body.contains("<img") && !body.contains("<script>"),
            "{path}:\n{body}"
        );
    }
}

#[test]
fn the_network_reads_only_and_records_with_the_phrase() {
    const PHRASE: &str = "belt under the old press";
    let plant = Plant::tarn_hollow();
    let lan = ["--lan", "--listen", "127.0.0.1"];
    let reading = Serving::start(&plant.data(), &lan);
    let mut browser = reading.browser();
    browser.get("/").ended(200).says("only read");
    browser.get("/log/new").ended(403);
    let token = [
        ("token", "x"),
        ("id", "01KM2Z0000000000000000000A"),
        ("words", "no"),
    ];
    browser.post("/log", &token).ended(403);
    drop(reading);

    let file = plant.file("phrase.txt", &format!("{PHRASE}\n"));
    let file = file.display().to_string();
    let options: Vec<&str> = lan
        .into_iter()
        .chain(["--record", "--pass-file", &file])
        .collect();
    let serving = Serving::start(&plant.data(), &options);
    assert!(!serving.printed.contains(PHRASE), "{}", serving.printed);
    let mut browser = serving.browser();
    let asked = browser.get("/log/new").ended(303);
    assert_eq!(asked.header("location"), Some("/pass"));
    let page = browser.get("/pass").ended(200).body;
    let token = hidden(&page, "token").to_owned();
    browser
        .post(
            "/pass",
            &[("token", &token), ("phrase", "a guess of fifteen")],
        )
        .ended(403);
    browser
        .post("/pass", &[("token", &token), ("phrase", PHRASE)])
        .ended(303);
    let page = browser.get("/log/new").ended(200).body;
    let form = [
        ("token", hidden(&page, "token")),
        ("id", hidden(&page, "id")),
        ("words", "over the network"),
    ];
    browser.post("/log", &form).ended(303);

    // CWE-307: the sixth guess has to wait, even with the right phrase.
    let mut other = serving.browser();
    let page = other.get("/pass").ended(200).body;
    let token = hidden(&page, "token").to_owned();
    for _ in 0..5 {
        other
            .post(
                "/pass",
                &[("token", &token), ("phrase", "a guess of fifteen")],
            )
            .ended(403);
    }
    other
        .post("/pass", &[("token", &token), ("phrase", PHRASE)])
        .ended(429);
    // Who is in already goes on.
    browser.get("/log/new").ended(200);
}

#[test]
fn what_does_not_fit_is_refused_before_anything_is_served() {
    let plant = Plant::new();
    let short = plant.file("short.txt", "short\n").display().to_string();
    for (options, said) in [
        ("serve --record", "--lan"),
        (
            "serve --lan --record --pass-file FILE",
            "at least 15 characters",
        ),
        (
            "serve --certificate nowhere.pem --key nowhere.pem",
            "nowhere.pem",
        ),
        ("serve --certificate FILE --key FILE", "no certificate"),
        ("serve --certificate FILE", "--key"),
        ("serve --port 99999", "99999"),
        ("drive labels", "--address"),
        ("drive labels --address ftp://x", "is not an address"),
        ("drive labels --address http://192.0.2.1:8140", "no drives"),
    ] {
        let line = options.replace("FILE", &short);
        let run = plant.call(&line).run().ended(2);
        assert!(run.err.contains(said), "{options}: {}", run.err);
    }
}

#[test]
fn slow_and_idle_peers_hold_nobody_up() {
    let plant = Plant::new();
    let serving = Serving::start(&plant.data(), &[]);
    // CWE-400: some say nothing, some a byte at a time.
    let mut idle: Vec<TcpStream> = (0..120)
        .map(|_| TcpStream::connect(serving.address).expect("a connection"))
        .collect();
    for stream in idle.iter_mut().step_by(2) {
        stream.write_all(b"GET / HT").expect("a part");
    }
    for _ in 0..10 {
        serving.browser().get("/walk/ground-fault").ended(200);
    }
    // After the time for a head they are closed, with or without a word.
    let since = Instant::now();
    for stream in &mut idle {
        stream
            .set_read_timeout(Some(Duration::from_secs(40)))
            .expect("a limit");
        let mut rest = Vec::new();
        stream.read_to_end(&mut rest).expect("the server closes");
    }
    assert!(since.elapsed() < Duration::from_secs(40));
}

#[test]
fn every_link_of_the_pages_leads_somewhere() {
    let plant = Plant::tarn_hollow();
    let serving = Serving::start(&plant.data(), &[]);
    let mut browser = serving.browser();
    let mut open = vec!["/".to_owned()];
    let mut seen = std::collections::BTreeSet::new();
    // Walks go on without an end, and trees take long: one step into each is enough.
    let followed = |path: &str| !path.starts_with("/walk/") || !path.contains('?');
    while let Some(path) = open.pop() {
        if !seen.insert(path.clone()) || seen.len() > 700 || path.starts_with("/tree/") {
            continue;
        }
        let answer = browser.get(&path);
        assert!(
            matches!(answer.status, 200 | 303),
            "{path}: {}",
            answer.status
        );
        for name in ["href", "src", "action"] {
            for address in attributes(&answer.body, name) {
                assert!(
                    address.starts_with('/') || address.starts_with('#') || address == "data:,",
                    "{path} leads outside: {address}"
                );
                if address.starts_with('/') && name == "href" && followed(&address) {
                    open.push(address);
                }
            }
        }
        labelled(&path, &answer.body);
    }
    assert!(seen.len() > 500, "{}", seen.len());
}

/// Every field of a page has a label, and every id is there once.
fn labelled(path: &str, page: &str) {
    let labels = attributes(page, "for");
    for tag in ["<input ", "<select ", "<textarea "] {
        for field in page.split(tag).skip(1) {
            let field = format!(" {}", field.split('>').next().unwrap_or(""));
            let kind = attributes(&field, "type");
            if kind.iter().any(|kind| kind == "hidden" || kind == "radio") {
                continue;
            }
            let named = attributes(&field, "id")
                .iter()
                .any(|id| labels.contains(id))
                || field.contains("aria-label=");
            assert!(named, "{path}: a field without a label: {field}");
        }
    }
    let ids = attributes(page, "id");
    let distinct: std::collections::BTreeSet<&String> = ids.iter().collect();
    assert_eq!(ids.len(), distinct.len(), "{path}: an id twice: {ids:?}");
}

#[test]
fn over_tls_the_same_pages_come() {
    let plant = Plant::new();
    let made =
        rcgen::generate_simple_self_signed(vec!["localhost".to_owned()]).expect("a certificate");
    let certificate = plant
        .file("own.pem", &made.cert.pem())
        .display()
        .to_string();
    let key = plant
        .file("own.key", &made.signing_key.serialize_pem())
        .display()
        .to_string();
    let serving = Serving::start(
        &plant.data(),
        &["--certificate", &certificate, "--key", &key],
    );
    assert!(serving.printed.contains("https://"), "{}", serving.printed);

    use tokio_rustls::rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};
    let mut roots = RootCertStore::empty();
    roots.add(made.cert.der().clone()).expect("a root");
    let config = ClientConfig::builder()
        .with_root_certificates(roots)
        .with_no_client_auth();
    let name = "localhost".try_into().expect("a name");
    let client = ClientConnection::new(Arc::new(config), name).expect("a client");
    let stream = TcpStream::connect(serving.address).expect("a connection");
    let mut stream = StreamOwned::new(client, stream);
    let request = format!(
        "GET / HTTP/1.1\r\nHost: localhost:{}\r\nConnection: close\r\n\r\n",
        serving.address.port()
    );
    stream.write_all(request.as_bytes()).expect("a request");
    let mut answer = String::new();
    let _ = stream.read_to_string(&mut answer);
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    assert!(answer.contains("Secure"), "{answer}");
    // Plain HTTP on that port gets nothing readable.
    assert!(
        !serving
            .raw(b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
            .contains("whytrip")
    );
}
