//! §10: radiation.

use super::{D, Lacks, Met, No, O, Table};

pub fn tables() -> Vec<Table> {
    vec![
        Table::of(
            "radiation",
            "NCRP Report 168, 2010; Stecker et al., J Vasc Interv Radiol 2009;20:S263 (from memory)",
        )
        .row(D, "radiation: air_kerma 5000 mGy; kerma_area 300 Gy·cm²; fluoroscopy 40", Met("substantial"))
        .row(D, "radiation: air_kerma 5000 mGy; kerma_area 300 Gy·cm²; fluoroscopy 40", Met("first-notice"))
        .when("radiation-limit", "exceeds")
        .row(D, "radiation: air_kerma 4.99 Gy; kerma_area 499 Gy·cm²; fluoroscopy 59", Met("first-notice"))
        .row(D, "radiation: air_kerma 4.999999 Gy; kerma_area 499.999999 Gy·cm²", Met("first-notice"))
        .row(D, "radiation: kerma_area 50 000 µGy·m²; fluoroscopy 40", Met("substantial"))
        .row(D, "radiation: kerma_area 49 999 uGy.m2; fluoroscopy 40; air_kerma 1 Gy", Met("first-notice"))
        .row(D, "radiation: kerma_area 0.05 Gy·m²", Met("substantial"))
        .row(O, "radiation: fluoroscopy 59", Lacks(&["air_kerma", "kerma_area"]))
        .row(D, "radiation: fluoroscopy 60", Met("substantial"))
        .says("poor measure")
        .row(D, "radiation: air_kerma 1 Gy; kerma_area 100 Gy·cm²; fluoroscopy 90", No)
        .says("poor measure of dose; the dose itself decides")
        .row(D, "radiation: air_kerma 4 Gy; kerma_area 100 Gy·cm²", Met("first-notice"))
        .says("Air kerma: 2 notices were due")
        .row(D, "radiation: air_kerma 4 Gy; kerma_area 100 Gy·cm²", Met("first-notice"))
        .when("radiation-limit", "exceeds")
        .says("Air kerma: 1 notice was due")
        .row(D, "radiation: air_kerma 3.0 Gy; kerma_area 100 Gy·cm²; fluoroscopy 20", Met("first-notice"))
        .says("Air kerma: 1 notice was due, at 3 Gy and then every 1 Gy.")
        .row(D, "radiation: air_kerma 4 Gy; kerma_area 599.9 Gy·cm²", Met("substantial"))
        .says("Kerma-area product: 3 notices were due, at 300 Gy·cm² and then every 100 Gy·cm².")
        .row(D, "radiation: air_kerma 2.999999 Gy; kerma_area 299.999999 Gy·cm²; fluoroscopy 20", No)
        .row(D, "radiation: skin 300 rad", Met("substantial"))
        .row(D, "radiation: skin 2 Gy; air_kerma 1 Gy; kerma_area 100 Gy·cm²", Met("first-notice"))
        .row(O, "radiation: air_kerma 4 Gy", Lacks(&["kerma_area"]))
        .row(D, "radiation: skin 15.000001 Gy", Met("substantial"))
        .says("sentinel")
        .row(O, "radiation:", Lacks(&["air_kerma", "kerma_area"])),
    ]
}
