//! What tumbling costs, what to beware of, and the way by hand, in words.

use super::{Load, Rolling, Tumbling, turns_a_minute};
use crate::reference::schema::MetalFamily;

/// Detail and mass.
pub(super) fn losses(found: &Tumbling, filled: bool) -> Vec<String> {
    let mut l = vec![
        "Edges and raised letters lose first, hollows last: leave them proud in the model if they must stay crisp."
            .to_string(),
        "Weigh one part before and after each stage: the loss of mass is the only honest measure of what went."
            .to_string(),
    ];
    if let Some(p) = &found.loss_percent_per_hundredth {
        l.push(format!(
            "Each hundredth of a millimetre off the whole surface is {} of the mass of the most exposed part.",
            if p.low == p.high { format!("{:.2} %", p.best) } else { format!("{:.2} to {:.2} %", p.low, p.high) }
        ));
    }
    if filled {
        l.push(
            "The binder wears faster than the grains, so a filled print rounds sooner than metal; thin walls may open \
             into the infill."
                .into(),
        );
    }
    l
}

/// Gravest first.
pub(super) fn cautions(load: &Load<'_>, found: &Tumbling, filled: bool) -> Vec<String> {
    let mut c = Vec::new();
    c.push(
        "Metal, water and compound in a closed barrel can make gas and blow the lid: never run it full, open it outdoors \
         every few hours on the first day and daily after that, face away."
            .to_string(),
    );
    c.push("Never put acid, lye, peroxide or vinegar into a barrel, nor parts that still carry them.".to_string());
    let light = [MetalFamily::Zinc, MetalFamily::Aluminium, MetalFamily::Magnesium];
    if let Some(m) = load.parts.iter().filter_map(|p| p.metal).find(|m| m.family.is_some_and(|f| light.contains(&f))) {
        c.push(format!("Bared {} makes hydrogen in plain water: rather work it by hand or in an open bowl.", m.name));
    }
    match found.speed_share {
        Some(share) if share >= 1.0 => c.push(format!(
            "At its own speed the barrel turns at {:.0} % of critical: the load rides round and nothing is worked. Slow it down before anything else.",
            share * 100.0
        )),
        Some(share) if share > 0.6 => c.push(format!(
            "At its own speed the barrel turns at {:.0} % of critical: the load falls instead of sliding, and prints bruise. 30 to 60 % is the working range.",
            share * 100.0
        )),
        Some(share) if share < 0.3 => c.push(format!(
            "At its own speed the barrel turns at {:.0} % of critical: it is gentle, and every stage takes longer.",
            share * 100.0
        )),
        _ => {}
    }
    c.push("Slurry is never poured down a drain: it sets hard and holds metal.".to_string());
    c.push("Keep guards on, and hands, hair and sleeves off the rollers; ear protection near a running barrel; never leave a new load to run the first night unwatched.".to_string());
    c.push("Wet work only: dry grit and metal dust are breathed in; wipe up wet.".to_string());
    if filled {
        c.push(
            "A sealed, dry print only: plug drain holes, or grit goes into the infill and comes out for weeks.".into(),
        );
        c.push(
            "No steel media: iron smears into the binder, rusts on copper and pulls copper out of copper baths.".into(),
        );
        if let Some(t) = found.warmest_c {
            c.push(format!("Keep the barrel below {t:.0} °C, out of the sun: above that the binder softens."));
        }
    }
    if found.media_to_parts < 1.0 {
        c.push(format!(
            "Only {:.1} volumes of media to one of parts: parts will hit each other. 1 to 4 is usual, 10 to 15 for delicate ones: tumble fewer at a time.",
            found.media_to_parts
        ));
    } else if filled && found.media_to_parts < 4.0 && load.parts.iter().map(|p| p.count).sum::<u32>() > 1 {
        c.push(format!(
            "{:.1} volumes of media to one of parts: usual for metal, little for prints with fine detail (10 to 15).",
            found.media_to_parts
        ));
    }
    for (name, how, _) in &found.rolling {
        if *how == Rolling::Cramped {
            c.push(format!(
                "{name} is longer than a third of the barrel: it turns, but slides and bruises; look early."
            ));
        }
    }
    c
}

/// What the figures rest on.
pub(super) fn notes(found: &Tumbling) -> Vec<String> {
    let mut n = vec![
        "Parts first, then media to fill the voids up to about half the barrel: the longest slide. Stone hobbyists fill two \
         thirds to three quarters; never full, or nothing moves and gas has no room."
            .to_string(),
        "Water to just short of the top of the load: less cuts, more cushions.".to_string(),
        "Grit: two level tablespoons for each third of a 3 L barrel that is filled (six would be a full one, which is never \
         run); common practice, no source."
            .to_string(),
        "Lengths are common practice, no source: about a week a grit at the most. The looks decide, not the calendar."
            .to_string(),
    ];
    n.push(format!(
        "Critical speed is {:.0} turns a minute for the media in this barrel; finishing runs at 30 to 60 % of it, so that the load slides and does not fall.",
        turns_a_minute(found.critical_speed)
    ));
    n.push("Printed plastics elsewhere: abrasive plastic media about 16 hours, then dry hardwood media with compound about 12 (a finisher's page read).".to_string());
    n
}

/// Abrasive grades by hand.
pub(super) fn by_hand(filled: bool) -> Vec<String> {
    let mut v = vec![
        "Wet abrasive paper P120, P220, P400, P600, each across the last, until the marks of the one before are gone."
            .to_string(),
        "Wet always, on a backing that follows the shape; a mask for dust is no excuse to work dry.".to_string(),
        "Rinse part, hands and backing between grades: one coarse grain scratches through all finer ones.".to_string(),
    ];
    if filled {
        v.push(
            "On a print the first grade opens the skin: go on until bare grains glint everywhere, then one or two grades \
             finer at most, since a polished skin smears binder over the metal."
                .into(),
        );
    }
    v
}
