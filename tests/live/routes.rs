//! What is asked of the page and what it lets in.

use super::Served;
use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::process::Command;
use std::time::{Duration, Instant};

const ONE: &[&str] = &["small", "single-row", "--as-tied"];

#[test]
fn every_file_of_the_page_comes_with_its_policy_and_needs_no_other_host() {
    let served = Served::new(ONE);
    let page = served.get("/");
    assert_eq!(page.status, 200);
    assert!(page.text().contains("not a medical device"));
    let scripts = ["page", "ask", "draw", "answer", "timeline", "orders", "settings", "save", "history", "link"];
    let scripts = scripts.into_iter().chain(["presenter", "dom"]).map(|name| format!("/{name}.js"));
    let fonts = ["/sans.ttf", "/sans-bold.ttf", "/sans-italic.ttf", "/page.css", "/start"].map(str::to_owned);
    for path in scripts.chain(fonts) {
        let reply = served.get(&path);
        assert_eq!(reply.status, 200, "{path}");
        assert!(reply.head.contains("content-security-policy: default-src 'none'"), "{path}\n{}", reply.head);
        assert!(reply.head.contains("x-content-type-options: nosniff"), "{path}");
        if path.ends_with(".js") {
            assert!(reply.head.contains("content-type: text/javascript"), "{path}");
            // What a module loads is served too; nothing is loaded from elsewhere.
            let text = reply.text();
            for other in text.split("from \"./").skip(1).filter_map(|rest| rest.split('"').next()) {
                assert_eq!(served.get(&format!("/{other}")).status, 200, "{path} loads {other}");
            }
            assert!(!text.replace("http://www.w3.org/2000/svg", "").contains("http"), "{path}");
        }
    }
    assert_eq!(served.get("/nothing").status, 404);
    assert_eq!(served.get("/built-in/case/quarter").text(), rimhold::model::builtin("quarter").unwrap());
    for other in ["case/..%2f..%2fetc%2fpasswd", "construct/quarter", "other/quarter"] {
        assert_eq!(served.get(&format!("/built-in/{other}")).status, 404, "{other}");
    }
}

#[test]
fn it_answers_its_own_address_and_its_own_page_alone() {
    let served = Served::new(ONE);
    let of = |host: &str, more: &str| {
        let text = format!("GET /start HTTP/1.1\r\nHost: {host}\r\n{more}Connection: close\r\n\r\n");
        served.raw(text.as_bytes()).status
    };
    let own = format!("127.0.0.1:{}", served.port);
    assert_eq!(of(&own, ""), 200);
    assert_eq!(of(&format!("localhost:{}", served.port), ""), 200);
    assert_eq!(of(&own, &format!("Origin: http://{own}\r\n")), 200);
    // A name that another page has made point here; another page; a file; another port of this machine.
    for (host, more) in [
        ("evil.example", String::new()),
        (own.as_str(), "Origin: http://evil.example\r\n".to_owned()),
        (own.as_str(), "Origin: null\r\n".to_owned()),
        (own.as_str(), "Origin: http://127.0.0.1:1\r\n".to_owned()),
        ("127.0.0.1", String::new()),
    ] {
        assert_eq!(of(host, &more), 403, "{host} {more}");
    }
    assert_eq!(served.raw(b"GET /start HTTP/1.0\r\n\r\n").status, 403);
    // A form of another page can send no application/json without asking before.
    assert_eq!(served.raw(&served.posting("/answer", "text/plain", "{}", "Connection: close\r\n")).status, 415);
}

/// The state with one of its values changed.
fn with(state: &Value, change: impl Fn(&mut Value)) -> Value {
    let mut changed = state.clone();
    change(&mut changed);
    changed
}

#[test]
fn mistakes_are_told_and_nothing_ends() {
    let served = Served::new(ONE);
    let state = served.start();
    for body in ["", "{", "[]", "null", "{\"state\":1}", "{\"state\":{\"case\":\"x\"}}", "\u{0}\u{1}"] {
        let reply = served.post("/answer", body);
        assert_eq!(reply.status, 400, "{body:?}");
        assert!(reply.json()["error"].as_str().unwrap().contains("cannot be read"), "{}", reply.text());
    }
    let huge = format!("{{\"state\":\"{}\"}}", "x".repeat(2 << 20));
    assert!([413, 0].contains(&served.post("/answer", &huge).status));
    let deep = "[".repeat(100_000);
    assert_eq!(served.post("/answer", &deep).status, 400);
    let text = |key: &str| state[key]["text"].as_str().unwrap().to_owned();
    // A mistake in a text: its file, its line, the range.
    let wrong = with(&state, |s| s["case"]["text"] = json!(text("case").replace("depth = ", "depth = 90 # ")));
    let problems = served.ask(&wrong, json!({}))["problems"].clone();
    assert!(problems[0]["message"].as_str().unwrap().contains("depth"), "{problems}");
    assert!(problems[0]["line"].as_u64().unwrap() > 1, "{problems}");
    for wrong in [
        with(&state, |s| s["case"]["text"] = json!("no toml at all [")),
        with(&state, |s| s["case"]["text"] = json!(format!("{}\n[bed]\ncells = 20000\n", text("case")))),
        with(&state, |s| s["constructs"][0]["text"] = json!("")),
        with(&state, |s| s["constructs"] = json!([])),
        with(&state, |s| s["shown"] = json!(7)),
        with(&state, |s| s["lost"] = json!(["nobody"])),
    ] {
        let answer = served.ask(&wrong, json!({}));
        assert!(answer["problems"].as_array().is_some_and(|p| !p.is_empty()), "{answer}");
    }
    // A construct that is not there, with every kind of change.
    for change in [
        Value::Null,
        json!({ "kind": "move", "handle": "anchor.middle", "view": "face", "by": [1, 1] }),
        json!({ "kind": "order", "order": [0, 1, 2] }),
        json!({ "kind": "hold", "tie": 0, "held": true }),
        json!({ "kind": "set", "path": "limb.a.tension", "value": 20 }),
    ] {
        for shown in [json!(9), json!(u64::MAX)] {
            let answer = served.ask(&with(&state, |s| s["shown"] = shown.clone()), json!({ "change": change }));
            assert!(answer["problems"].as_array().is_some_and(|p| !p.is_empty()), "{change}: {answer}");
        }
    }
    // A page that calls itself by a novel is not remembered.
    let named = json!({ "page": "x".repeat(65), "number": 1, "state": state });
    assert_eq!(served.post("/answer", &named.to_string()).status, 400);
    // Ties beyond the last are all of them.
    assert_eq!(served.ask(&with(&state, |s| s["tied"] = json!(99)), json!({}))["state"]["tied"], Value::Null);
    for change in [
        json!({ "kind": "move", "handle": "anchor.nobody", "view": "face", "by": [1, 1] }),
        json!({ "kind": "order", "order": [0, 0, 0] }),
        json!({ "kind": "order", "order": [99] }),
        json!({ "kind": "hold", "tie": 99, "held": true }),
        json!({ "kind": "set", "path": "limb.nobody.tension", "value": 20 }),
        json!({ "kind": "set", "path": "", "value": 20 }),
    ] {
        let answer = served.ask(&state, json!({ "change": change }));
        let told = answer["problems"].as_array().is_some_and(|p| !p.is_empty());
        assert!(told || answer["stopped"].is_string(), "{change}: {answer}");
    }
    // A value that no file may have is refused where it is set, and the state stays.
    let set = json!({ "kind": "set", "path": "fragment.depth", "value": 1e300 });
    let answer = served.ask(&state, json!({ "change": set }));
    assert!(answer["stopped"].as_str().unwrap().contains("depth"), "{}", answer["stopped"]);
    assert_eq!(answer["state"], state);
    // A drag out of this world.
    let by = json!({ "kind": "move", "handle": answer["handles"][0]["id"], "view": "face", "by": [1e9, -1e300] });
    assert!(served.ask(&state, json!({ "change": by }))["stopped"].is_string());
    assert!(served.ask(&state, json!({ "push": { "view": "face", "by": [0.0, 0.0] } }))["pushed"].is_object());
    assert!(served.ask(&state, json!({ "push": { "view": "face", "by": [0.0, -1e6] } }))["pushed"].is_object());
}

/// A fragment that was given up lies in no balance: it is drawn, and no number of it is given. The ties that were not
/// reached stay, to be put elsewhere, and the other construct keeps its curve.
#[test]
fn of_a_fragment_that_is_lost_no_number_is_given() {
    let served = Served::new(&["quarter", "two-by-two-crossed", "one-by-one", "--as-tied"]);
    let state = served.start();
    let whole = served.ask(&state, json!({}));
    let lost = served.ask(&state, json!({ "change": { "kind": "order", "order": [1, 0, 2] } }));
    assert!(lost["verdict"].as_str().unwrap().contains("fixation fails"), "{}", lost["verdict"]);
    assert_eq!(lost["lies"], json!({ "step": "\u{2014}", "shift": "\u{2014}", "compression": "\u{2014}" }));
    assert_eq!(lost["stations"], json!([]));
    assert_ne!(lost["views"]["face"]["svg"], whole["views"]["face"]["svg"]);
    assert_eq!(lost["timeline"].as_array().unwrap().len(), 4);
    assert_eq!(lost["timeline"][1]["values"], Value::Null);
    assert!(lost["chart"]["svg"].as_str().unwrap().contains("one-by-one"));
    assert_eq!(whole["stations"].as_array().unwrap().len(), 3);
    // What is lost is said in a command that knows losses, and first.
    let parted = served.ask(&with(&state, |s| s["lost"] = json!(["superior-loop"])), json!({}));
    assert!(parted["command"][0].as_str().unwrap().starts_with("rimhold lose"), "{}", parted["command"]);
}

#[test]
fn a_tie_is_held_orders_change_and_parts_are_lost() {
    let served = Served::new(&["small", "one-by-one", "--as-tied"]);
    let state = served.start();
    let first = served.ask(&state, json!({}));
    let titles = |answer: &Value| -> Vec<String> {
        answer["ties"].as_array().unwrap().iter().map(|t| t["title"].as_str().unwrap().to_owned()).collect()
    };
    let turned = served.ask(&state, json!({ "change": { "kind": "order", "order": [2, 1, 0] } }));
    let mut expected = titles(&first);
    expected.reverse();
    assert_eq!(titles(&turned), expected);
    assert_ne!(turned["timeline"], first["timeline"]);
    let held = served.ask(&state, json!({ "change": { "kind": "hold", "tie": 0, "held": true } }));
    assert_eq!(held["ties"][0]["held"], true);
    assert!(held["state"]["constructs"][0]["text"].as_str().unwrap().contains("held = true"));
    let lost = served.ask(&with(&state, |s| s["lost"] = json!(["superior-loop"])), json!({}));
    let load = |answer: &Value| {
        let rows = answer["table"]["rows"].as_array().unwrap();
        rows.iter().find(|r| r["key"] == "load-1mm").unwrap()["values"][0].as_f64().unwrap()
    };
    assert!(load(&lost) < load(&first), "{} {}", load(&lost), load(&first));
    assert!(lost["drawn"].as_str().unwrap().contains("loss of superior-loop"));
    // Of nothing nothing is left: it is said to fail while it settles, and is drawn as tied.
    let all: Vec<&str> = first["parts"].as_array().unwrap().iter().map(|p| p["name"].as_str().unwrap()).collect();
    let settled = with(&state, |s| (s["lost"], s["settled"]) = (json!(all), json!(true)));
    let answer = served.ask(&settled, json!({}));
    let verdict = answer["verdict"].as_str().unwrap();
    assert!(verdict.contains("fixation fails") && verdict.contains("while it settles"), "{verdict}");
    assert!(answer["drawn"].as_str().unwrap().starts_with("as tied"), "{}", answer["drawn"]);
    let part = served.ask(&with(&state, |s| s["tied"] = json!(1)), json!({}));
    assert_eq!(part["drawn"], "after tie 1 of 3, inferior-loop");
    // Another name, in the file too; none is none.
    let named = |construct, name: &str| {
        served.ask(&state, json!({ "change": { "kind": "rename", "construct": construct, "name": name } }))
    };
    let (case, construct) = (named(false, " my \u{201c}case\u{201d} "), named(true, "with two screws"));
    let text = |of: &Value| of["text"].as_str().unwrap().to_owned();
    assert!(text(&case["state"]["case"]).contains("name = \"my \u{201c}case\u{201d}\""));
    assert_eq!(case["case_name"], "my \u{201c}case\u{201d}");
    assert_eq!(case["files"]["case"], "my--case.toml");
    assert!(text(&construct["state"]["constructs"][0]).contains("name = \"with two screws\""));
    assert_eq!(construct["files"]["constructs"], json!(["with-two-screws.toml"]));
    for wrong in ["", " ", "a\u{202e}b", &"n".repeat(500)] {
        let refused = named(false, wrong);
        assert_eq!(refused["state"], state, "{wrong:?}");
        assert!(refused["stopped"].as_str().unwrap().starts_with("Not set: "), "{}", refused["stopped"]);
    }
    // The two orders of a lesson, state by state.
    let rows = served.post("/orders", &json!({ "state": state }).to_string()).json()["rows"].clone();
    assert_eq!(rows.as_array().unwrap().len(), 2);
    assert!(rows[0]["stages"][0]["svg"].as_str().unwrap().starts_with("<svg"));
    for (figure, format, begins) in
        [("construct", "svg", "<svg"), ("resistance", "png", "\u{89}PNG"), ("tie-strip", "svg", "<svg")]
    {
        let reply = served.post("/figure", &json!({ "state": state, "figure": figure, "format": format }).to_string());
        assert_eq!(reply.status, 200, "{}", reply.text());
        let begun: String = reply.body.iter().take(begins.chars().count()).map(|b| char::from(*b)).collect();
        assert_eq!(begun, begins, "{figure}");
    }
}

/// One that is older than the newest is not begun; one that is under way ends, although it was to take longer: a bed of
/// 2000 cells, three constructs.
#[test]
fn a_newer_question_of_a_page_ends_an_older_one() {
    let served = Served::new(&["quarter", "two-by-two-crossed", "two-by-two", "one-by-one"]);
    let state = served.start();
    let ask = |number: u64, state: &Value| {
        let answer = served.ask(state, json!({ "page": "p", "number": number }));
        answer["superseded"] != true
    };
    assert_eq!((ask(2, &state), ask(1, &state), ask(3, &state)), (true, false, true));
    let text = state["case"]["text"].as_str().unwrap();
    let fine = with(&state, |s| s["case"]["text"] = json!(format!("{text}\n[bed]\ncells = 2000\n")));
    std::thread::scope(|scope| {
        let older = scope.spawn(|| ask(4, &fine));
        std::thread::sleep(Duration::from_millis(150));
        assert!(ask(5, &state));
        assert!(!older.join().unwrap());
    });
}

/// A left shoulder is drawn mirrored: what is moved to the right on the page moves posteriorly there, anteriorly in a right
/// one; pushed to the right it goes there too.
#[test]
fn right_on_the_page_is_posterior_in_a_left_shoulder() {
    let served = Served::new(&["quarter", "one-by-one", "--as-tied"]);
    let right = served.start();
    let text = right["case"]["text"].as_str().unwrap().replace("side = \"right\"", "side = \"left\"");
    let left = with(&right, |s| s["case"]["text"] = json!(text));
    let at = |answer: &Value, id: &str| {
        let handles = answer["handles"].as_array().unwrap();
        let handle = handles.iter().find(|h| h["id"] == id && h["view"] == "face").unwrap();
        [handle["at"][0].as_f64().unwrap(), handle["at"][1].as_f64().unwrap()]
    };
    for state in [&right, &left] {
        let still = served.ask(state, json!({}));
        let scale = still["views"]["face"]["scale"].as_f64().unwrap();
        // Away from the fragment, toward the middle of the glenoid.
        let inward = if state["case"] == left["case"] { 0.8 } else { -0.8 };
        let change = json!({ "kind": "move", "handle": "anchor.lateral", "view": "face", "by": [inward, 0.0] });
        let moved = served.ask(state, json!({ "change": change }));
        assert_eq!(moved["stopped"], Value::Null);
        let [from, to] = [at(&still, "anchor.lateral"), at(&moved, "anchor.lateral")];
        assert!(((to[0] - from[0]) / scale - inward).abs() < 0.25, "{from:?} {to:?}");
        let pushed = served.ask(state, json!({ "push": { "view": "face", "by": [-inward, 0.0] } }))["pushed"].clone();
        let along = pushed["face"][1][0].as_f64().unwrap() - pushed["face"][0][0].as_f64().unwrap();
        assert!(along * -inward > 0.0, "{pushed}");
    }
}

/// Fifty at once, each with its own case: more than there are cores, and all are answered.
#[test]
fn fifty_clients_are_all_answered() {
    let served = Served::new(ONE);
    let state = served.start();
    let ask = |k: usize| {
        let set = json!({ "kind": "set", "path": "bed.friction", "value": 0.3 + 0.001 * k as f64 });
        let body = json!({ "page": format!("p{k}"), "number": 1, "state": state, "change": set, "quick": true });
        served.post("/answer", &body.to_string())
    };
    std::thread::scope(|scope| {
        let clients: Vec<_> = (0..50).map(|k| scope.spawn(move || ask(k))).collect();
        for client in clients {
            let reply = client.join().unwrap();
            assert_eq!(reply.status, 200, "{}", reply.text());
            assert!(reply.json()["table"].is_object());
        }
    });
}

/// Questions that never come whole, heads as well as bodies, keep nobody from being answered, and are given up.
#[test]
fn half_sent_questions_are_given_up_and_hold_nobody_up() {
    let served = Served::new(ONE);
    let state = served.start();
    let whole = served.posting("/answer", "application/json", &json!({ "state": state }).to_string(), "");
    let mut halves: Vec<_> = (0..40)
        .map(|k| {
            let mut stream = served.connect();
            stream.write_all(&whole[..if k % 2 == 0 { 20 } else { whole.len() - 5 }]).unwrap();
            stream
        })
        .collect();
    assert_eq!(served.ask(&state, json!({ "quick": true }))["number"], 0);
    for stream in &mut halves {
        stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
        let mut all = Vec::new();
        // Closed, or told that it did not come in time; not left open.
        stream.read_to_end(&mut all).unwrap();
        let told = String::from_utf8_lossy(&all);
        assert!(all.is_empty() || told.contains(" 408 "), "{told}");
    }
}

/// Drags, one after the other over one connection: none is lost, and memory stays what it was. `RIMHOLD_REQUESTS=10000`
/// makes as many as two hours of teaching have.
#[test]
fn memory_stays_flat_while_one_drags() {
    let asked = std::env::var("RIMHOLD_REQUESTS").ok().and_then(|n| n.parse().ok());
    let count: usize = asked.unwrap_or(1000);
    let served = Served::new(ONE);
    let mut state = served.start();
    let case = state["case"]["text"].as_str().unwrap().to_owned();
    state["case"]["text"] = json!(format!("{case}\n[bed]\ncells = 100\n"));
    let mut stream = served.connect();
    let mut replies = BufReader::new(stream.try_clone().unwrap());
    let mut early = None;
    for k in 0..count {
        let angle = 0.05 * k as f64;
        let by = [0.8 * angle.cos(), 0.8 * angle.sin()];
        let change = json!({ "kind": "move", "handle": "anchor.middle", "view": "face", "by": by });
        let body = json!({ "page": "p", "number": k + 1, "state": state, "change": change, "quick": true });
        stream.write_all(&served.posting("/answer", "application/json", &body.to_string(), "")).unwrap();
        let reply = one_reply(&mut replies);
        let answer: Value = serde_json::from_slice(&reply).unwrap();
        assert_eq!(answer["number"], k + 1, "{answer}");
        if k == count / 10 {
            early = served.memory();
        }
    }
    if let (Some(early), Some(late)) = (early, served.memory()) {
        assert!(late < early + early / 10 + 4096, "{early} kB after a tenth, {late} kB at the end");
    }
    let left = std::fs::read_dir(served.folder.path()).unwrap().count();
    assert_eq!(left, 0, "it writes no file");
}

/// The body of one reply with its length in its head. What it reads with goes on after a signal, as a bare `read` from a
/// socket with a time limit does not.
fn one_reply(stream: &mut impl BufRead) -> Vec<u8> {
    let (mut length, mut line) = (None, String::new());
    stream.read_line(&mut line).unwrap();
    assert!(line.contains(" 200 "), "{line}");
    while line.trim() != "" {
        if let Some(told) = line.to_lowercase().strip_prefix("content-length:") {
            length = Some(told.trim().parse().unwrap());
        }
        line.clear();
        stream.read_line(&mut line).unwrap();
    }
    let mut body = vec![0; length.unwrap()];
    stream.read_exact(&mut body).unwrap();
    body
}

#[test]
#[cfg(unix)]
fn an_interrupt_ends_it_at_once() {
    let mut served = Served::new(ONE);
    let state = served.start();
    // Work is under way, and connections are open.
    let mut open = served.connect();
    open.write_all(&served.posting("/answer", "application/json", &json!({ "state": state }).to_string(), "")).unwrap();
    let begun = Instant::now();
    assert!(Command::new("kill").args(["-INT", &served.program.id().to_string()]).status().unwrap().success());
    let code = served.program.wait().unwrap().code();
    assert_eq!(code, Some(130));
    assert!(begun.elapsed() < Duration::from_secs(5), "{:?}", begun.elapsed());
}

#[test]
fn what_is_wrong_is_told_before_anything_is_served() {
    let run = |arguments: &[&str]| {
        let out = Command::new(env!("CARGO_BIN_EXE_rimhold")).arg("live").args(arguments).output().unwrap();
        (out.status.code(), String::from_utf8_lossy(&out.stderr).into_owned())
    };
    let (code, told) = run(&["nowhere.toml"]);
    assert!(code == Some(2) && told.contains("nowhere.toml"), "{told}");
    let (code, told) = run(&["quarter", "one-by-one", "two-by-two", "mattress", "single-row"]);
    assert!(code == Some(2) && told.contains("up to 3"), "{told}");
    let taken = Served::new(ONE);
    let (code, told) = run(&["--port", &taken.port.to_string()]);
    assert!(code == Some(1) && told.contains(&taken.port.to_string()), "{told}");
}
