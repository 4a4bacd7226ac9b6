//! A safety rule in words.

use crate::safety::{Explanation, gravity_word};
use serde_json::{Value, json};
use textwrap::{Options, fill};

/// As text.
pub fn text(e: &Explanation, width: usize) -> String {
    let width = width.clamp(40, 100);
    let plain = |text: &str| fill(text, Options::new(width).initial_indent("  ").subsequent_indent("  "));
    let list = |items: &[String]| {
        let options = Options::new(width).initial_indent("  - ").subsequent_indent("    ");
        items.iter().map(|i| fill(i, &options)).collect::<Vec<_>>().join("\n")
    };
    let gravity = match e.range {
        [low, high] if low == high => gravity_word(low).to_string(),
        [low, high] => format!("{} to {}", gravity_word(low), gravity_word(high)),
    };
    let mut out = vec![format!("{} [{}]", e.title, e.id), plain(&format!("Gravity: {gravity}"))];
    if !e.products.is_empty() {
        out.push(plain(&format!("Makes: {}", e.products.join(", "))));
    }
    out.extend(["Why".into(), plain(&e.why), "What sets it off".into(), plain(&e.fires)]);
    if let Some(spares) = &e.spares {
        out.extend(["What does not".into(), plain(spares)]);
    }
    out.extend(["What to do".into(), list(&e.actions)]);
    let sources: Vec<String> = e
        .sources
        .iter()
        .map(|s| {
            let at = if s.at.is_empty() { String::new() } else { format!(", {}", s.at) };
            format!("{}{at} ({})", s.doc, s.status)
        })
        .collect();
    out.extend(["Sources".into(), list(&sources)]);
    out.join("\n")
}

/// As JSON.
pub fn json(e: &Explanation) -> Value {
    let sources: Vec<Value> = e.sources.iter().map(|s| json!({"doc": s.doc, "at": s.at, "status": s.status})).collect();
    json!({
        "schema_version": super::json::SCHEMA_VERSION,
        "id": e.id, "title": e.title, "severity": e.range.map(gravity_word), "products": e.products, "why": e.why,
        "sets_it_off": e.fires, "does_not": e.spares, "do": e.actions, "sources": sources,
    })
}
