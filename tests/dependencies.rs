//! What is linked in: known licences, crates of the public registry alone, nothing that goes out into a network, no
//! unsafe code of our own. `cargo deny check` (deny.toml) says the same where it is installed; this runs anywhere.

use serde_json::Value;
use std::collections::BTreeSet;
use std::process::Command;

/// Licences that a program under MIT may link to without further duties than to name them.
const LICENCES: [&str; 11] = [
    "MIT",
    "MIT-0",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Zlib",
    "0BSD",
    "Unlicense",
    "Unicode-3.0",
    // Of file-wise effect, and only in what reads HTML in the tests.
    "MPL-2.0",
];

/// Crates that open connections to other machines, or that are there for those that do. What serves the live page
/// (axum, hyper, tokio and what they stand on) only listens, and only to this machine: see `tests/live/routes.rs`.
const NETWORK: [&str; 21] = [
    "actix-web",
    "async-std",
    "attohttpc",
    "curl",
    "curl-sys",
    "h2",
    "hickory-resolver",
    "isahc",
    "libssh2-sys",
    "minreq",
    "native-tls",
    "openssl",
    "openssl-sys",
    "quinn",
    "reqwest",
    "rustls",
    "smol",
    "tungstenite",
    "ureq",
    "warp",
    "websocket",
];

fn metadata() -> Value {
    // What other systems need may not be at hand: it is fetched, and without a network this system's
    // own crates are looked at.
    let host = format!("{}-unknown-linux-gnu", std::env::consts::ARCH);
    let ways: [&[&str]; 3] = [&["--offline"], &[], &["--offline", "--filter-platform", &host]];
    let mut told = String::new();
    for way in ways {
        let out = Command::new(env!("CARGO"))
            .args(["metadata", "--locked", "--format-version", "1"])
            .args(way)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .unwrap();
        if out.status.success() {
            return serde_json::from_slice(&out.stdout).unwrap();
        }
        told += &String::from_utf8_lossy(&out.stderr);
    }
    panic!("{told}");
}

/// Whether an SPDX expression leaves a choice that is in the list.
fn allowed(expression: &str) -> bool {
    expression.split(" AND ").all(|part| {
        part.trim_matches(['(', ')'])
            .replace('/', " OR ")
            .split(" OR ")
            .any(|one| LICENCES.contains(&one.trim().trim_matches(['(', ')'])))
    })
}

#[test]
fn an_expression_is_read_as_meant() {
    assert!(allowed("MIT OR Apache-2.0 OR LGPL-2.1-or-later"));
    assert!(allowed("(MIT OR Apache-2.0) AND Unicode-3.0"));
    assert!(allowed("Apache-2.0 / MIT"));
    assert!(!allowed("LGPL-2.1-or-later"));
    assert!(!allowed("MIT AND GPL-3.0-only"));
    assert!(!allowed("(MIT OR Apache-2.0) AND NCSA"));
}

#[test]
fn every_crate_has_a_known_licence_and_comes_from_the_public_registry() {
    let metadata = metadata();
    let packages = metadata["packages"].as_array().unwrap();
    assert!(packages.len() > 100, "{}", packages.len());
    let mut wrong = Vec::new();
    for package in packages {
        let name = package["name"].as_str().unwrap();
        let licence = package["license"].as_str().unwrap_or("none given");
        if !allowed(licence) {
            wrong.push(format!("{name}: licence {licence}"));
        }
        match package["source"].as_str() {
            Some(source) if source.ends_with("/crates.io-index") => {}
            None if name == "rimhold" => {}
            source => wrong.push(format!("{name}: from {source:?}")),
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn nothing_that_goes_out_into_a_network_is_linked_in() {
    let metadata = metadata();
    let mut name_of = std::collections::BTreeMap::new();
    for package in metadata["packages"].as_array().unwrap() {
        name_of.insert(package["id"].as_str().unwrap(), package["name"].as_str().unwrap());
    }
    let nodes = metadata["resolve"]["nodes"].as_array().unwrap();
    let root = metadata["resolve"]["root"].as_str().unwrap();
    // What the program links to, on any platform; tests and build scripts are not part of it.
    let mut reached = BTreeSet::from([root]);
    let mut left = vec![root];
    while let Some(id) = left.pop() {
        let node = nodes.iter().find(|n| n["id"] == id).unwrap();
        for dependency in node["deps"].as_array().unwrap() {
            let kinds = dependency["dep_kinds"].as_array().unwrap();
            let id = dependency["pkg"].as_str().unwrap();
            if kinds.iter().any(|k| k["kind"].is_null()) && reached.insert(id) {
                left.push(id);
            }
        }
    }
    assert!(reached.len() > 50, "{}", reached.len());
    let network: Vec<&str> = reached.iter().map(|id| name_of[id]).filter(|name| NETWORK.contains(name)).collect();
    assert!(network.is_empty(), "{network:?}");
}

/// The program as it was built asks the system for no connection to another machine; it only listens, for the live page.
#[cfg(target_os = "linux")]
#[test]
fn the_program_names_no_call_that_opens_a_connection() {
    let program = std::fs::read(env!("CARGO_BIN_EXE_rimhold")).unwrap();
    let names = |call: &str| {
        // As in the table of names of an ELF file: one by one, each ended by a zero.
        let name = [b"\0", call.as_bytes(), b"\0"].concat();
        program.windows(name.len()).any(|w| w == name)
    };
    // A call that every program makes is found, so the search does find.
    assert!(names("write"), "the table of names is not read as it is");
    for call in ["connect", "getaddrinfo", "sendto", "recvfrom"] {
        assert!(!names(call), "the program can call {call}");
    }
}
