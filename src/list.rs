//! Lists.

/// Items in the order in which they first come, each once.
pub(crate) fn distinct<T: PartialEq>(items: impl IntoIterator<Item = T>) -> Vec<T> {
    let mut once = Vec::new();
    for item in items {
        if !once.contains(&item) {
            once.push(item);
        }
    }
    once
}
