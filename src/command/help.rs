//! `help`: a command's help, or the page on how things are written.

use super::args::Cli;
use super::{Failure, Shown};
use crate::diag::{Problem, one_of};
use crate::reference::materials;
use clap::CommandFactory;

pub fn run(topic: Option<&str>) -> Result<Shown, Failure> {
    let mut command = Cli::command();
    match topic {
        None => Ok(Shown::text(command.render_long_help().to_string())),
        Some("writing") => Ok(Shown::text(writing())),
        Some(name) => match command.find_subcommand_mut(name) {
            Some(sub) => Ok(Shown::text(sub.render_long_help().to_string())),
            None => {
                let mut known: Vec<String> =
                    Cli::command().get_subcommands().map(|s| s.get_name().to_string()).collect();
                known.push("writing".into());
                Err(Problem::error(format!("there is no help on `{name}`; allowed: {}", one_of(&known)))
                    .in_field("TOPIC")
                    .into())
            }
        },
    }
}

fn writing() -> String {
    let names: Vec<&str> = materials().iter().map(|m| m.name.as_ref()).collect();
    let materials =
        textwrap::fill(&names.join(", "), textwrap::Options::new(78).initial_indent("  ").subsequent_indent("  "));
    format!("{WRITING}{materials}\n")
}

/// One page: how ingredients, parts, vessels and the rest are written.
const WRITING: &str = "\
HOW THINGS ARE WRITTEN

AMOUNTS    3/4 cup   1 1/2 tbsp   ¾ cup   2-3 tbsp   2 to 3 tbsp   0.5 L   120ml   35 g
  A point is the decimal sign; a comma is refused. Cups and spoons are US customary
  unless --measures, the recipe or the bench says metric, australian or imperial;
  `metric cup`, `US pint` and the like name one on the spot. `oz` alone is asked about:
  write `fl oz` or `oz wt`.

STRENGTHS  5 %   5 % w/w   3 % w/v   70 % v/v   10 vol (peroxide)   50 grain (vinegar)
           2 mol/L   35 g/L   42 Be (ferric chloride)
  Per cent without more is by mass. Read the figure off the bottle.

INGREDIENT amount, strength and name in any order; the list is the order of pouring
  \"1/3 cup white vinegar 5%\"            \"120 ml hydrogen peroxide 3 %\"
  \"1-2 tsp table salt\"                  \"40 g copper sulfate pentahydrate\"
  \"2 L hair developer (hydrogen peroxide) 12 %\"
  Names are generic: what the label lists, not the brand.

RECIPE     an id such as kitchen-rust (`bathwright recipes` lists them), a file (a word
           with a slash or an extension), or ingredient lines in quotes

PART       shape or mesh file first, then mass, metal, binder in any order
  \"box 40x40x80 mm, 85 g, iron, PLA\"    \"cylinder 30x60 mm, 40 g, bronze, PLA\"
  \"sphere 50 mm, 60 g, copper, PLA\"     \"displaces 120 mL, 60 mm high, 90 g, iron, PLA\"
  \"pull.stl, 31 g, iron, PLA, 2 of them, lift 24 h\"
  without a mass: \"..., 15 % infill, 1.2 mm walls, filament 1.85 g/cm3, iron, PLA\"

VESSEL     inside measures, then material and cover (open, loose, sealed)
  \"cup 60-82x140 mm, glass\"  bottom diameter, top diameter, height
  \"jar 80x120 mm, glass\"     diameter, height
  \"tray 300x200x60 mm, PP\"   length, width, height
  \"level 10 mm = 60 mL, level 30 mm = 200 mL, glass\"  levels found by pouring, up to near the rim
  \"1 L jar, 150 mm high, glass\"  a capacity and a height: the fill line is an estimate

LENGTHS    mm, cm, m, in, ft, with fractions: 3 1/4 in
TEMPERATURE  20 C, 68 F, 293 K; a bare number is in Celsius
TIMES      12 h, 30 min, 2 days; a start is 2026-11-27T09:00, with an offset, or with
           a zone: 2026-11-27T09:00[Europe/London]

MATERIALS  of parts, ballast and vessels (other names work too):
";
