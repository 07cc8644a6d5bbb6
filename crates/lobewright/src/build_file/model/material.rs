//! Materials: the shop's own and the built-in ones.

use super::Build;
use kernel::units::{Density, ElasticModulus, Expansion};

/// A material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Mean expansion over the range it is used in.
    pub expansion: Expansion,
    /// Density.
    pub density: Density,
    /// Young's modulus.
    pub young: Option<ElasticModulus>,
    /// Poisson's ratio.
    pub poisson: Option<f64>,
}

const fn built_in(per_k: f64, kg_per_m3: f64, gpa: f64, poisson: f64) -> Material {
    Material {
        expansion: Expansion::per_k(per_k),
        density: Density::kg_per_m3(kg_per_m3),
        young: Some(ElasticModulus::gpa(gpa)),
        poisson: Some(poisson),
    }
}

/// Materials that need no table of their own. Expansion and density are within the ranges of
/// [CALLISTER]. Moduli and Poisson's ratios: nodular iron of grades 400 [EN-1563], aluminium of
/// grade 356 and steel 4340 [ASM]; grey iron in the middle of its grades, which have 66 to
/// 118 GPa. Poisson's ratios of grey iron and aluminium are common practice, no source.
pub const BUILT_IN: [(&str, Material); 4] = [
    ("nodular iron", built_in(11.0e-6, 7100.0, 169.0, 0.275)),
    ("grey iron", built_in(10.6e-6, 7150.0, 90.0, 0.26)),
    ("cast aluminium", built_in(21.5e-6, 2680.0, 72.4, 0.33)),
    ("steel", built_in(12.3e-6, 7850.0, 205.0, 0.29)),
];

/// Names of the materials that need no table of their own.
pub const BUILT_IN_MATERIALS: [&str; 4] =
    [BUILT_IN[0].0, BUILT_IN[1].0, BUILT_IN[2].0, BUILT_IN[3].0];

impl Build {
    /// A material by name: the shop's own, or a built-in one.
    #[must_use]
    pub fn material(&self, name: &str) -> Option<Material> {
        let built_in =
            || BUILT_IN.iter().find(|(known, _)| *known == name).map(|(_, found)| *found);
        self.materials.get(name).copied().or_else(built_in)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn built_in_materials_are_elastic_solids() {
        for (name, material) in BUILT_IN {
            let (young, poisson) = (material.young.unwrap(), material.poisson.unwrap());
            assert!((50.0..=220.0).contains(&young.to_gpa()), "{name}");
            assert!(poisson > 0.0 && poisson < 0.5, "{name}");
        }
        // [ASM]: 205 GPa and a shear modulus of 80 GPa are Poisson's ratio 0.29 to two digits.
        let (_, steel) = BUILT_IN[3];
        let shear_gpa = steel.young.unwrap().to_gpa() / (2.0 * (1.0 + steel.poisson.unwrap()));
        assert!((shear_gpa - 80.0).abs() < 0.6, "{shear_gpa}");
    }
}
