use super::*;
use crate::study::result::End;
use std::fs;

/// Layouts of two constructs with few numbers in a row.
fn layouts() -> Vec<Layout> {
    [1, 2].map(|n| Layout { carriers: Vec::new(), gauges: Vec::new(), grid: vec![0.0; n] }).into()
}

fn head() -> Head {
    Head::new(vec![("seed".into(), "1".into())])
}

fn samples(n: usize) -> Vec<Vec<Row>> {
    let row = |layout: &Layout, k: usize| Row {
        end: if k.is_multiple_of(2) { End::Held } else { End::NotHeld },
        why: "w".repeat(k % 3),
        values: vec![k as f64; layout.width()],
    };
    (0..n).map(|k| layouts().iter().map(|l| row(l, k)).collect()).collect()
}

#[track_caller]
fn refused(found: Result<Store, StoreError>) -> String {
    match found {
        Err(StoreError::Refused(words)) => words,
        other => panic!("{other:?}"),
    }
}

#[test]
fn two_runs_never_share_a_file() {
    let room = tempfile::tempdir().unwrap();
    let path = room.path().join("s");
    let mut first = Store::create(&path, &head(), &layouts()).unwrap();
    for found in [Store::resume(&path, &head(), &layouts()), Store::create(&path, &head(), &layouts())] {
        assert!(refused(found).contains("another run is writing"));
    }
    first.add_rows(&samples(3)).unwrap();
    drop(first);
    let second = Store::resume(&path, &head(), &layouts()).unwrap();
    assert_eq!(second.done(), 3);
    let said = refused(Store::resume(&path, &head(), &layouts()));
    assert!(said.contains("another run is writing"), "{said}");
    drop(second);
    let said = refused(Store::create(&path, &head(), &layouts()));
    assert!(said.contains("not finished"), "{said}");
}

#[test]
fn a_file_that_could_not_be_begun_leaves_nothing() {
    let room = tempfile::tempdir().unwrap();
    let none = room.path().join("no/such/folder/s");
    assert!(matches!(Store::create(&none, &head(), &layouts()), Err(StoreError::Io(_))));
    // A file that is not ours stays, and so does nothing of ours beside it.
    let path = room.path().join("s");
    fs::write(&path, "my notes").unwrap();
    assert!(refused(Store::create(&path, &head(), &layouts())).contains("left alone"));
    assert_eq!(fs::read_to_string(&path).unwrap(), "my notes");
    assert_eq!(fs::read_dir(room.path()).unwrap().count(), 1);
}

/// What the file system says is told as it is; only what was read and is none of ours is another file.
#[test]
fn a_refusal_of_the_file_system_is_no_other_kind_of_file() {
    let room = tempfile::tempdir().unwrap();
    for found in [Store::resume(room.path(), &head(), &layouts()), Store::create(room.path(), &head(), &layouts())] {
        assert!(matches!(found, Err(StoreError::Io(_))), "{found:?}");
    }
    let path = room.path().join("s");
    for foreign in [b"my notes\n".as_slice(), b"\xff\xfe\n", b""] {
        fs::write(&path, foreign).unwrap();
        let said = refused(Store::resume(&path, &head(), &layouts()));
        assert!(said.contains("no file of samples"), "{said}");
        assert_eq!(fs::read(&path).unwrap(), foreign);
    }
}

/// One flipped bit anywhere in a chunk, its head included, and the chunk is done again.
#[test]
fn every_flipped_bit_of_a_chunk_is_seen() {
    let room = tempfile::tempdir().unwrap();
    let path = room.path().join("s");
    let mut store = Store::create(&path, &head(), &layouts()).unwrap();
    store.add_rows(&samples(2)).unwrap();
    let start = store.end as usize;
    store.add_rows(&samples(3)).unwrap();
    drop(store);
    let whole = fs::read(&path).unwrap();
    let mut seen = 0;
    for at in start..whole.len() {
        // Every bit of the head; of what stands behind one a byte.
        let bits = if at < start + HEAD { 8 } else { 1 };
        for bit in 0..bits {
            let mut bytes = whole.clone();
            bytes[at] ^= 1 << bit;
            fs::write(&path, &bytes).unwrap();
            let store = Store::resume(&path, &head(), &layouts()).unwrap();
            assert_eq!(store.done(), 2, "byte {} bit {bit}", at - start);
            assert_eq!(store.end as usize, start);
            seen += 1;
        }
    }
    assert!(seen > 8 * HEAD);
    fs::write(&path, &whole).unwrap();
    let mut store = Store::resume(&path, &head(), &layouts()).unwrap();
    assert_eq!(store.done(), 5);
    assert_eq!(store.column(1, 0).unwrap(), [0.0, 1.0, 0.0, 1.0, 2.0]);
    assert_eq!(store.ends(0).unwrap().why.len(), 2);
}

/// A chunk whose checksum is right and whose number of samples is not: a fault of a program.
#[test]
fn a_count_that_differs_from_the_rows_is_refused() {
    for count in [0, 1, 3, u64::MAX] {
        let mut store = Store::unnamed(&head(), &layouts()).unwrap();
        let start = store.end;
        let mut payload = Vec::new();
        for row in samples(2).iter().flatten() {
            put_row(row, &mut payload);
        }
        store.add(Kind::Rows, count, &payload).unwrap();
        store.chunks.clear();
        store.end = start;
        store.find_chunks().unwrap();
        assert_eq!((store.done(), store.end), (0, start), "{count}");
    }
}

#[test]
fn runs_of_indices_come_back_by_construct() {
    let mut store = Store::unnamed(&head(), &layouts()).unwrap();
    let start = store.end;
    // Three runs a base sample and construct; the number tells base sample, construct and run.
    let base = |b: usize| -> IndexRuns {
        (0..2).flat_map(|c| (0..3).map(move |r| [(100 * b + 10 * c + r) as f64; RANKED.len()])).collect()
    };
    store.add_index(&[base(0), base(1)]).unwrap();
    store.add_index(&[base(2)]).unwrap();
    store.chunks.clear();
    store.end = start;
    store.find_chunks().unwrap();
    assert_eq!(store.index_done(), 3);
    let found: Vec<f64> = store.index_runs(1, 3).unwrap().iter().map(|run| run[0]).collect();
    let expected = [10.0, 11.0, 12.0, 110.0, 111.0, 112.0, 210.0, 211.0, 212.0];
    assert_eq!(found, expected);
}
