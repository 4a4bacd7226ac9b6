//! stub
use crate::amount::*;
use crate::diag::Checked;
use crate::reference::Substance;
pub fn mass_fraction(_s: &Substance, _x: &Strength) -> Checked<Span<MassFraction>> {
    todo!()
}
pub fn stock_density(_s: &Substance, _x: MassFraction, _t: ThermodynamicTemperature) -> Option<MassDensity> {
    todo!()
}
