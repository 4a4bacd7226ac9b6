//! The command line: definitions only. A field's comment is its help.

use clap::{ArgMatches, Args, FromArgMatches, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Scales a chemical patina or oxidation bath to the vessel and parts at hand, with a safety review beside it.
///
/// Exit codes: 0 done (read the cautions) · 2 bad usage or bad input · 3 refused as unsafe · 1 anything else.
/// `bathwright help writing` shows how ingredients, parts and vessels are written.
#[derive(Debug, Parser)]
#[command(
    name = "bathwright",
    version,
    max_term_width = 100,
    disable_help_subcommand = true,
    arg_required_else_help = true
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
#[allow(clippy::large_enum_variant)]
pub enum Command {
    /// Plan a job: amounts, fill line, ballast, hazards, clock times
    Plan(Deferred<PlanArgs>),
    /// Scale a recipe to a volume or a vessel, without parts
    Scale(Deferred<ScaleArgs>),
    /// Review a mixture for hazards, without amounts to prepare
    Check(Deferred<CheckArgs>),
    /// Compute what a mixture is: volume, density, concentrations, pH, heat and gas
    Mix(Deferred<MixArgs>),
    /// Find how much of a reagent brings a mixture to a pH
    Neutralise(Deferred<NeutraliseArgs>),
    /// Find what brings a used bath back on target, from its volume, pH and density
    Correct(Deferred<CorrectArgs>),
    /// Measure a mesh: volume, area, size, and what is below a level
    Measure(Deferred<MeasureArgs>),
    /// List recipes
    Recipes(Deferred<RecipesArgs>),
    /// Choose a recipe: what metal shows, which recipes suit and why, what to buy
    Choose(Deferred<ChooseArgs>),
    /// Plan a load of a tumbling barrel: fill, media, water, grit stages with looks, or the way by hand
    Tumble(Deferred<TumbleArgs>),
    /// Explain a safety rule: why it exists, its source, what sets it off
    Explain(Deferred<ExplainArgs>),
    /// Print the schema of a file kind: recipe, order or bench
    Schema(Deferred<SchemaArgs>),
    /// Print shell completions
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Print the manual page (roff)
    Man,
    /// Show help; `help writing` shows how amounts, parts and vessels are written
    Help {
        /// A command, or `writing`
        topic: Option<String>,
    },
}

/// Arguments that are put together only for the command that is run.
#[derive(Debug)]
pub struct Deferred<T>(pub T);

impl<T: FromArgMatches> FromArgMatches for Deferred<T> {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        T::from_arg_matches(matches).map(Deferred)
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        self.0.update_from_arg_matches(matches)
    }
}

impl<T: Args> Args for Deferred<T> {
    fn augment_args(command: clap::Command) -> clap::Command {
        command.defer(with_arguments::<T>)
    }

    fn augment_args_for_update(command: clap::Command) -> clap::Command {
        command.defer(with_arguments::<T>)
    }
}

/// The command with its arguments; what it is about stays what the list of commands says.
fn with_arguments<T: Args>(command: clap::Command) -> clap::Command {
    let about = command.get_about().cloned().unwrap_or_default();
    T::augment_args(command).about(about).long_about(None::<&'static str>)
}

/// Output format of a result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For reading in a terminal
    Text,
    /// For scripts
    Json,
    /// One page to print
    Html,
}

/// How a result is written.
#[derive(Debug, Clone, Args)]
pub struct OutputArgs {
    /// Output format
    #[arg(long, value_enum, default_value = "text")]
    pub format: Format,
    /// Columns of the text output (default: the terminal's)
    #[arg(long, value_name = "COLUMNS")]
    pub width: Option<usize>,
}

/// Output format of a list or a measurement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PlainFormat {
    /// For reading in a terminal
    Text,
    /// For scripts
    Json,
}

/// Output format of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PlanFormat {
    /// For reading in a terminal
    Text,
    /// For scripts
    Json,
    /// One page to print
    Html,
    /// Calendar entries; needs a start
    Ics,
}

/// Whose cups and spoons.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[allow(missing_docs)]
pub enum Measures {
    /// US customary: cup 236.6 mL, tablespoon 14.8 mL
    Us,
    /// Metric: cup 250 mL, tablespoon 15 mL
    Metric,
    /// Australian: cup 250 mL, tablespoon 20 mL
    Australian,
    /// Imperial: pint 568 mL, fluid ounce 28.4 mL
    Imperial,
}

/// `plan`
#[derive(Debug, Args)]
pub struct PlanArgs {
    /// A recipe id, a recipe or order file, a folder of orders, `demo`, or ingredient lines in quotes
    #[arg(required = true, value_name = "RECIPE|ORDER|INGREDIENT")]
    pub what: Vec<String>,
    /// A part, such as "box 40x40x80 mm, 85 g, iron, PLA" or "pull.stl, 31 g, bronze, PLA"; may be repeated
    #[arg(long = "part", value_name = "PART")]
    pub parts: Vec<String>,
    /// The vessel, such as "cup 60-82x140 mm, glass", or the name of one on the bench
    #[arg(long, value_name = "VESSEL")]
    pub vessel: Option<String>,
    /// A bench file: stocks, tools, ballast, vessels, room
    #[arg(long, value_name = "FILE")]
    pub bench: Option<PathBuf>,
    /// A folder with recipes of your own, read beside the shipped ones
    #[arg(long, value_name = "FOLDER")]
    pub recipes: Option<PathBuf>,
    /// When the part goes in, such as 2026-11-27T09:00 or 2026-11-27T09:00[Europe/London]
    #[arg(long, value_name = "TIME")]
    pub start: Option<String>,
    /// Make this much, as poured, instead of what covers the parts
    #[arg(long, value_name = "AMOUNT", conflicts_with = "finished")]
    pub to: Option<String>,
    /// Make this much finished bath, from mass and density
    #[arg(long, value_name = "VOLUME")]
    pub finished: Option<String>,
    /// Fuming: the closed box inside, such as "300x200x200 mm" or "12 L"
    #[arg(long = "box", value_name = "BOX", conflicts_with = "packing")]
    pub fume_box: Option<String>,
    /// Burial: loose volume of the packing, such as "2 L"
    #[arg(long, value_name = "VOLUME")]
    pub packing: Option<String>,
    /// Liquid above the part, such as "15 mm" (default) or "1/2 in"
    #[arg(long, value_name = "LENGTH")]
    pub cover_depth: Option<String>,
    /// Which side of a part is up where it does not say: least-bath (default), or least-air, which also lifts it least
    #[arg(long, value_name = "least-bath|least-air")]
    pub lay: Option<String>,
    /// Ballast beyond the net buoyancy, per cent
    #[arg(long, value_name = "PERCENT")]
    pub margin: Option<String>,
    /// Bath temperature, such as 20 or "68 F"; default is the middle of the recipe's range
    #[arg(long, value_name = "TEMPERATURE")]
    pub temperature: Option<String>,
    /// What part or vessel was in contact with before, separated by `;`
    #[arg(long, value_name = "INGREDIENT; ...")]
    pub after: Option<String>,
    /// Room volume, such as 20 or "700 ft3"
    #[arg(long, value_name = "M3")]
    pub room_m3: Option<String>,
    /// Air changes per hour
    #[arg(long, value_name = "N")]
    pub air_changes: Option<String>,
    /// The bath stands out of doors
    #[arg(long)]
    pub outdoors: bool,
    /// Hours when nobody is there, such as 22:00-07:00
    #[arg(long, value_name = "FROM-TO")]
    pub quiet: Option<String>,
    /// The whole job, from rough part to sealed: `--start` is then when the job begins
    #[arg(long)]
    pub whole: bool,
    /// Whole job: a tumbling barrel, inside diameter by inside length, "150x180 mm"; without one the part is sanded by hand
    #[arg(long, value_name = "BARREL", requires = "whole")]
    pub barrel: Option<String>,
    /// Whole job: grits in the barrel, 2 to 6
    #[arg(long, value_name = "N", requires = "barrel")]
    pub grits: Option<u32>,
    /// Whole job: planned length of a grit stage, such as "2 days"
    #[arg(long, value_name = "TIME", requires = "barrel")]
    pub stage: Option<String>,
    /// Whole job: finest detail or gap of the part, such as "1.5 mm"
    #[arg(long, value_name = "LENGTH", requires = "barrel")]
    pub detail: Option<String>,
    /// Whole job: size of the barrel's media, such as "4 mm"
    #[arg(long, value_name = "LENGTH", requires = "barrel")]
    pub media: Option<String>,
    /// Whole job: layer lines still show, so the first grit is run again
    #[arg(long, requires = "barrel")]
    pub marks: bool,
    /// Whole job: what the part is degreased with beside soap and water, in words that may say how it was taken off, separated by `;`
    #[arg(long, value_name = "INGREDIENT; ...", requires = "whole")]
    pub degrease: Option<String>,
    /// Measures of ingredient lines given without a recipe file
    #[arg(long, value_enum, default_value = "us")]
    pub measures: Measures,
    /// Output format
    #[arg(long, value_enum, default_value = "text")]
    pub format: PlanFormat,
    /// Columns of the text output (default: the terminal's)
    #[arg(long, value_name = "COLUMNS")]
    pub width: Option<usize>,
    /// Write to this file instead of standard output; for a folder of orders, a folder
    #[arg(long, short, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

/// `scale`
#[derive(Debug, Args)]
pub struct ScaleArgs {
    /// A recipe id or file, or ingredient lines in quotes
    #[arg(required = true, value_name = "RECIPE|INGREDIENT")]
    pub what: Vec<String>,
    /// A folder with recipes of your own, read beside the shipped ones
    #[arg(long, value_name = "FOLDER")]
    pub recipes: Option<PathBuf>,
    /// To this much, as poured, such as "4 L" or "3 cups"
    #[arg(long, value_name = "AMOUNT", conflicts_with = "finished")]
    pub to: Option<String>,
    /// To this much finished bath, from mass and density
    #[arg(long, value_name = "VOLUME")]
    pub finished: Option<String>,
    /// To this vessel, filled to nine tenths of its height
    #[arg(long, value_name = "VESSEL")]
    pub vessel: Option<String>,
    /// A bench file
    #[arg(long, value_name = "FILE")]
    pub bench: Option<PathBuf>,
    /// Measures of ingredient lines given without a recipe file
    #[arg(long, value_enum, default_value = "us")]
    pub measures: Measures,
    /// How the result is written.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// What stands around a mixture.
#[derive(Debug, Clone, Args)]
pub struct AroundArgs {
    /// Material of the vessel, or "spray bottle"
    #[arg(long, value_name = "MATERIAL")]
    pub vessel: Option<String>,
    /// How the liquid meets the part: immersion, spray, brush, fume or burial
    #[arg(long, value_name = "METHOD")]
    pub method: Option<String>,
    /// How long it is kept after use, such as "1 day"; not the soak
    #[arg(long, value_name = "TIME")]
    pub kept: Option<String>,
    /// How it is covered: open, loose or sealed
    #[arg(long, value_name = "open|loose|sealed")]
    pub cover: Option<String>,
    /// Metal of the part; may be repeated
    #[arg(long = "part", value_name = "METAL")]
    pub parts: Vec<String>,
    /// Binder of a metal-filled part
    #[arg(long, value_name = "POLYMER")]
    pub binder: Option<String>,
    /// Material of ballast, wire or spoon; may be repeated
    #[arg(long = "ballast", value_name = "MATERIAL")]
    pub ballast: Vec<String>,
    /// Temperature, such as 20 or "68 F"
    #[arg(long, value_name = "C")]
    pub temperature: Option<String>,
    /// Room volume, such as 20 or "700 ft3"
    #[arg(long, value_name = "V")]
    pub room_m3: Option<String>,
    /// Air changes per hour
    #[arg(long, value_name = "N")]
    pub air_changes: Option<String>,
    /// Out of doors
    #[arg(long)]
    pub outdoors: bool,
    /// What part or vessel was in contact with before, separated by `;`
    #[arg(long, value_name = "INGREDIENT; ...")]
    pub after: Option<String>,
}

/// `check`
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// Ingredient lines in the order of pouring, such as "1/4 cup vinegar 5%"
    #[arg(value_name = "INGREDIENT")]
    pub ingredients: Vec<String>,
    /// A file with `ingredients:` and, if wanted, the conditions
    #[arg(long, value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// Conditions.
    #[command(flatten)]
    pub around: AroundArgs,
    /// Measures of the lines
    #[arg(long, value_enum, default_value = "us")]
    pub measures: Measures,
    /// How the result is written.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `mix`
#[derive(Debug, Args)]
pub struct MixArgs {
    /// Ingredient lines in the order of pouring
    #[arg(required = true, value_name = "INGREDIENT")]
    pub ingredients: Vec<String>,
    /// What dissolved carbon dioxide is in balance with: closed, aired or fizzing
    #[arg(long, value_name = "closed|aired|fizzing")]
    pub carbonate: Option<String>,
    /// Conditions.
    #[command(flatten)]
    pub around: AroundArgs,
    /// Measures of the lines
    #[arg(long, value_enum, default_value = "us")]
    pub measures: Measures,
    /// How the result is written.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `neutralise`
#[derive(Debug, Args)]
pub struct NeutraliseArgs {
    /// The mixture, as for `mix`.
    #[command(flatten)]
    pub mix: MixArgs,
    /// The reagent, such as "baking soda"
    #[arg(long = "with", value_name = "SUBSTANCE")]
    pub reagent: String,
    /// The pH to reach
    #[arg(long, value_name = "PH")]
    pub to: String,
}

/// `correct`
#[derive(Debug, Args)]
pub struct CorrectArgs {
    /// The bath as it was made up, as for `mix`.
    #[command(flatten)]
    pub mix: MixArgs,
    /// How much of it there is, such as "1.3 L"
    #[arg(long, value_name = "VOLUME")]
    pub have: String,
    /// The pH it measures
    #[arg(long, value_name = "PH")]
    pub ph: Option<String>,
    /// The density it measures, in g/mL such as 1.08 (or kg/m3 such as 1080)
    #[arg(long, value_name = "G_PER_ML")]
    pub density: Option<String>,
}

/// `measure`
#[derive(Debug, Args)]
#[command(
    after_help = "It holds about 400 bytes for each triangle, and refuses more than 6000000 triangles before it reads \
                        them; `--quick` holds none."
)]
pub struct MeasureArgs {
    /// A mesh file (STL, 3MF, OBJ, PLY), or `-` for standard input
    #[arg(value_name = "MESH")]
    pub mesh: String,
    /// One streaming pass: volume, area, box, closedness
    #[arg(long)]
    pub quick: bool,
    /// Volume and wetted area below this height above the lowest point
    #[arg(long, value_name = "H")]
    pub height_mm: Option<String>,
    /// Which side is up: x, y, z, -x, -y or -z
    #[arg(long, value_name = "SIDE", allow_hyphen_values = true, default_value = "z")]
    pub up: String,
    /// Unit of the file's numbers: mm, cm, m, in, ft or um
    #[arg(long, value_name = "UNIT")]
    pub unit: Option<String>,
    /// Output format
    #[arg(long, value_enum, default_value = "text")]
    pub format: PlainFormat,
}

/// `recipes`
#[derive(Debug, Args)]
pub struct RecipesArgs {
    /// Show this recipe only
    #[arg(value_name = "ID")]
    pub id: Option<String>,
    /// A folder with recipes of your own, read beside the shipped ones
    #[arg(long, value_name = "FOLDER")]
    pub recipes: Option<PathBuf>,
    /// Only recipes that work on this metal
    #[arg(long, value_name = "METAL")]
    pub metal: Option<String>,
    /// Only this finish: rust, green, blue, brown, black or other
    #[arg(long, value_name = "FINISH")]
    pub finish: Option<String>,
    /// Only recipes whose review names this rule
    #[arg(long, value_name = "RULE")]
    pub hazard: Option<String>,
    /// Only recipes that this bench's shelf can make, reviewed from its bottles and in its room
    #[arg(long, value_name = "FILE")]
    pub bench: Option<PathBuf>,
    /// Only recipes that work at this temperature, such as 20 or "68 F"
    #[arg(long, value_name = "C")]
    pub temperature: Option<String>,
    /// Output format
    #[arg(long, value_enum, default_value = "text")]
    pub format: PlainFormat,
    /// Columns of the text output (default: the terminal's)
    #[arg(long, value_name = "COLUMNS")]
    pub width: Option<usize>,
}

/// `choose`
#[derive(Debug, Args)]
pub struct ChooseArgs {
    /// Metal of the part, or filler of a metal-filled plastic
    #[arg(long, value_name = "METAL")]
    pub metal: String,
    /// Binder of a metal-filled plastic, such as PLA
    #[arg(long, value_name = "POLYMER")]
    pub binder: Option<String>,
    /// Density of the filament, such as "1.85 g/cm3"
    #[arg(long, value_name = "DENSITY", requires = "binder")]
    pub density: Option<String>,
    /// Look wanted: rust, green, blue, brown, black or other
    #[arg(long, value_name = "LOOK")]
    pub look: Option<String>,
    /// A bench file: what is on the shelf
    #[arg(long, value_name = "FILE")]
    pub bench: Option<PathBuf>,
    /// A folder with recipes of your own, read beside the shipped ones
    #[arg(long, value_name = "FOLDER")]
    pub recipes: Option<PathBuf>,
    /// Room volume, such as 20 or "700 ft3"
    #[arg(long, value_name = "M3")]
    pub room_m3: Option<String>,
    /// Air changes per hour
    #[arg(long, value_name = "N")]
    pub air_changes: Option<String>,
    /// Out of doors
    #[arg(long)]
    pub outdoors: bool,
    /// How long it may take from washing the part to sealing it, such as "1 week"
    #[arg(long, value_name = "TIME")]
    pub patience: Option<String>,
    /// Bath that the shopping list is for
    #[arg(long = "for", value_name = "VOLUME", default_value = "500 mL")]
    pub volume: String,
    /// How the result is written.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `tumble`
#[derive(Debug, Args)]
pub struct TumbleArgs {
    /// A part, such as "box 40x40x80 mm, 85 g, iron, PLA"; may be repeated
    #[arg(long = "part", value_name = "PART", required = true)]
    pub parts: Vec<String>,
    /// The barrel: inside diameter by inside length, and its material if that matters: "150x180 mm, rubber"
    #[arg(long, value_name = "BARREL")]
    pub barrel: String,
    /// Speed it turns at, such as "40 rpm"
    #[arg(long, value_name = "SPEED")]
    pub speed: Option<String>,
    /// Finest detail or gap of the part, such as "1.5 mm"
    #[arg(long, value_name = "LENGTH")]
    pub detail: Option<String>,
    /// Size of the media, such as "4 mm"
    #[arg(long, value_name = "LENGTH")]
    pub media: Option<String>,
    /// How many grits from coarse to fine, 2 to 6
    #[arg(long, value_name = "N", default_value = "4")]
    pub grits: String,
    /// Layer lines or tool marks still show: the first grit is run again
    #[arg(long)]
    pub marks: bool,
    /// Planned length of a grit stage, such as "2 days" (default for metal-filled prints) or "1 week" (for metal)
    #[arg(long, value_name = "TIME")]
    pub stage: Option<String>,
    /// A bench file: room and measures
    #[arg(long, value_name = "FILE")]
    pub bench: Option<PathBuf>,
    /// When the barrel starts, such as 2026-11-27T09:00
    #[arg(long, value_name = "TIME")]
    pub start: Option<String>,
    /// Hours when nobody is there, such as 22:00-07:00
    #[arg(long, value_name = "FROM-TO")]
    pub quiet: Option<String>,
    /// What part, media or barrel was in contact with before, separated by `;`
    #[arg(long, value_name = "INGREDIENT; ...")]
    pub after: Option<String>,
    /// The barrel turns out of doors
    #[arg(long)]
    pub outdoors: bool,
    /// How the result is written.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// `explain`
#[derive(Debug, Args)]
pub struct ExplainArgs {
    /// The rule, as findings name it
    #[arg(value_name = "RULE")]
    pub rule: String,
    /// Output format
    #[arg(long, value_enum, default_value = "text")]
    pub format: PlainFormat,
}

/// `schema`
#[derive(Debug, Args)]
pub struct SchemaArgs {
    /// recipe, order or bench
    #[arg(value_name = "KIND")]
    pub kind: String,
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_definitions_hold_together() {
        Cli::command().debug_assert();
    }
}
