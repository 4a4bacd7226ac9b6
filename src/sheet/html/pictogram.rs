//! Hazard pictograms: a square set at a point, red frame wide enough to be seen, black symbol on white (UN GHS 1.4.10.4).
//!
//! The symbols are our own plain drawings of what the standard names; the name always stands below in words, and the
//! supplier's label shows the printed ones.

use maud::{Markup, PreEscaped, html};

/// A pictogram with its name.
pub(super) fn figure(code: &str, name: &str) -> Markup {
    html! {
        figure {
            @if let Some(symbol) = symbol(code) {
                svg viewBox="0 0 100 100" role="img" aria-label=(name) {
                    path d="M50 4 L96 50 L50 96 L4 50 Z" fill="#fff" stroke="#d00" stroke-width="6" stroke-linejoin="miter" {}
                    g fill="#000" stroke="none" transform="translate(10 10) scale(0.8)" { (PreEscaped(symbol)) }
                }
            }
            figcaption { (name) " (" (code) ")" }
        }
    }
}

/// A flame; `FLAME` stands on y = 66, about 34 high.
macro_rules! flame {
    () => {
        "<path d='M51 30c2 8-8 11-8 20 0-3-3-5-3-8-6 6-7 13-4 18 3 5 8 7 14 7s12-3 14-8c3-7-1-13-5-17 1 5-1 8-3 9 2-8 0-16-5-21z'/>"
    };
}

/// The black symbol, in a field of 100 by 100; `None` for a code that is no pictogram.
fn symbol(code: &str) -> Option<&'static str> {
    Some(match code {
        "GHS01" => {
            "<circle cx='50' cy='56' r='13'/><path d='M50 18l4 14 10-10-4 13 14-3-11 9 13 5-13 4 10 10-14-4M50 18l-4 14-10-10 4 13-14-3 11 9-13 5 13 4-10 10 14-4' fill='none' stroke='#000' stroke-width='2.5'/>"
        }
        "GHS02" => concat!(flame!(), "<rect x='34' y='71' width='32' height='5'/>"),
        "GHS03" => concat!(
            "<g transform='translate(11 -4) scale(.78)'>",
            flame!(),
            "</g><circle cx='50' cy='60' r='12' fill='none' stroke='#000' stroke-width='5'/><rect x='34' y='76' width='32' height='4'/>"
        ),
        "GHS04" => "<path d='M24 62l36-22c6-4 13 6 7 11L31 73c-6 3-13-6-7-11z'/><path d='M66 42l7-4 3 5-7 4z'/>",
        "GHS05" => {
            "<path d='M22 38l24-10 2 5-24 10z'/><path d='M54 33l2-5 24 10-2 5z'/><circle cx='48' cy='41' r='2'/><circle cx='46' cy='49' r='2'/><circle cx='56' cy='41' r='2'/><circle cx='58' cy='49' r='2'/><path d='M24 60h14c3 0 4 6 8 6s5-6 8-6h4v8H24z'/><path d='M52 56c7-3 14-2 24 1v11H62c-5 0-7-4-10-12z'/>"
        }
        "GHS06" => {
            "<path d='M26 65l46 14 2-5-46-14z'/><path d='M74 65L28 79l-2-5 46-14z'/><path fill-rule='evenodd' d='M50 22c-13 0-20 8-20 18 0 6 3 10 7 13v7h26v-7c4-3 7-7 7-13 0-10-7-18-20-18zM42 37a5 5 0 1 1 0 10 5 5 0 0 1 0-10zm16 0a5 5 0 1 1 0 10 5 5 0 0 1 0-10zm-8 10l3 6h-6z'/>"
        }
        "GHS07" => "<path d='M43 24h14l-3 34h-8z'/><circle cx='50' cy='69' r='6'/>",
        "GHS08" => {
            "<circle cx='50' cy='29' r='8'/><path fill-rule='evenodd' d='M30 76c0-20 3-36 14-38h12c11 2 14 18 14 38zM50 44l3 9 9-5-5 9 8 3-8 3 5 9-9-5-3 9-3-9-9 5 5-9-8-3 8-3-5-9 9 5z'/>"
        }
        "GHS09" => {
            "<path d='M22 66h56v3H22z'/><path d='M36 66V46l-9-10 9 6v-14l3 15 9-10-9 14v19z'/><path fill-rule='evenodd' d='M46 58c8-9 18-9 24-3l7-6v16l-7-5c-6 6-16 6-24-2zm8-2a2 2 0 1 0 .1 0z'/>"
        }
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    // UN GHS (Rev. 10), Annex 1 and table 1.4.1: the nine hazard pictograms and the names of their symbols.
    #[test]
    fn every_pictogram_has_a_symbol_and_its_name_in_the_standard() {
        let published = [
            "exploding bomb",
            "flame",
            "flame over circle",
            "gas cylinder",
            "corrosion",
            "skull and crossbones",
            "exclamation mark",
            "health hazard",
            "environment",
        ];
        for (n, name) in (1..).zip(published) {
            let code = format!("GHS0{n}");
            assert_eq!(crate::safety::label::pictogram_name(&code), name);
            let drawn = figure(&code, name).into_string();
            assert!(drawn.contains("<svg") && drawn.contains(&format!("{name} ({code})")), "{drawn}");
        }
        assert!(!figure("GHS99", "").into_string().contains("<svg"));
    }
}
