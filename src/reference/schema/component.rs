use databake::Bake;
use serde::Deserialize;

/// The components of the charge balance, each with its short name in the table, in the order of these.
macro_rules! components {
    ($($component:ident $name:literal,)*) => {
        /// A component of the charge balance; its charge is in the table.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize, Bake)]
        #[databake(path = crate::reference::schema)]
        #[allow(missing_docs)]
        pub enum Component {
            $(#[serde(rename = $name)] $component,)*
        }

        impl Component {
            /// The short name, which is also that of its bare ion among the species.
            #[allow(dead_code, reason = "the build script only writes tables")]
            pub fn name(self) -> &'static str {
                match self {
                    $(Component::$component => $name,)*
                }
            }
        }
    };
}

components! {
    Acetate "acetate",
    Ag "ag",
    Al "al",
    Ascorbate "ascorbate",
    Ba "ba",
    Boh4 "boh4",
    Ca "ca",
    Citrate "citrate",
    Cl "cl",
    Clo3 "clo3",
    Co3 "co3",
    Cu "cu",
    F "f",
    Fe2 "fe2",
    Fe3 "fe3",
    Formate "formate",
    H "h",
    H2po4 "h2po4",
    Ho2 "ho2",
    Hs "hs",
    K "k",
    Lactate "lactate",
    Malate "malate",
    Mg "mg",
    Mno4 "mno4",
    Na "na",
    Nh3 "nh3",
    No2 "no2",
    No3 "no3",
    Ocl "ocl",
    Oxalate "oxalate",
    Phthalate "phthalate",
    S2o3 "s2o3",
    Seo3 "seo3",
    So3 "so3",
    So4 "so4",
    Sulfamate "sulfamate",
    Tartrate "tartrate",
    Zn "zn",
}
