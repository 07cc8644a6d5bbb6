//! Words of which the file knows a few, as types.

/// Defines one: its variants and how the file spells them.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$variant_doc:meta])* $variant:ident = $word:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $($(#[$variant_doc])* $variant,)+
        }

        impl $name {
            /// All of them, in their order.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// As the file spells it.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$variant => $word,)+
                }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }

        impl rusqlite::types::ToSql for $name {
            fn to_sql(&self) -> rusqlite::Result<rusqlite::types::ToSqlOutput<'_>> {
                Ok(self.word().into())
            }
        }

        impl rusqlite::types::FromSql for $name {
            fn column_result(
                value: rusqlite::types::ValueRef<'_>,
            ) -> rusqlite::types::FromSqlResult<Self> {
                let word = value.as_str()?;
                Self::ALL
                    .iter()
                    .copied()
                    .find(|known| known.word() == word)
                    .ok_or(rusqlite::types::FromSqlError::InvalidType)
            }
        }
    };
}

words! {
    /// What a part is.
    PartKind {
        /// A rotor.
        Rotor = "rotor",
        /// A rotor housing.
        RotorHousing = "rotor housing",
        /// A side housing.
        SideHousing = "side housing",
        /// An eccentric shaft.
        Shaft = "shaft",
        /// A stationary gear with the main bearing in it.
        StationaryGear = "stationary gear",
        /// A rotor bearing.
        Bearing = "bearing",
        /// The seals of an engine.
        SealsSet = "seals set",
    }
}

words! {
    /// Which way a rotor's gear face looks in a build.
    GearFace {
        /// Away from the flywheel.
        Front = "front",
        /// To the flywheel.
        Rear = "rear",
    }
}

words! {
    /// Whether a reading was taken before the cut or after it.
    When {
        /// As the part came.
        Before = "before",
        /// As it was cut.
        After = "after",
    }
}

words! {
    /// The parts of a build's sheet, in the order an engine comes apart and goes together.
    Stage {
        /// It comes apart.
        Teardown = "teardown",
        /// Its parts are measured.
        Inspection = "inspection",
        /// Clearances are decided.
        Clearances = "clearances",
        /// Parts are cut.
        Cutting = "cutting",
        /// They are measured again.
        ReInspection = "re-inspection",
        /// The rotating assembly is balanced.
        Balance = "balance",
        /// It goes together.
        Assembly = "assembly",
        /// It waits for its signature, or has it.
        SignOff = "sign-off",
    }
}

words! {
    /// Why a part left a build.
    OutWhy {
        /// For another one, before the build was signed.
        Exchanged = "exchanged",
        /// The engine came apart after it ran.
        TornDown = "torn down",
    }
}

words! {
    /// Whether a tip or a land touched.
    Contact {
        /// It did.
        Seen = "seen",
        /// It did not.
        NotSeen = "not seen",
        /// Nobody looked.
        NotLookedAt = "not looked at",
    }
}

words! {
    /// Which face of a rotor.
    Face {
        /// The one with the internal gear.
        Gear = "gear",
        /// The other one.
        Plain = "plain",
    }
}

words! {
    /// What a tip shows of having touched.
    Mark {
        /// Nothing.
        None = "none",
        /// It is polished, without a step to feel.
        Light = "light",
        /// It is scored, smeared or worn to a step.
        Heavy = "heavy",
        /// Nobody looked.
        NotLookedAt = "not looked at",
    }
}

words! {
    /// What may be attached.
    MediaType {
        /// PNG.
        Png = "image/png",
        /// JPEG.
        Jpeg = "image/jpeg",
        /// WebP.
        WebP = "image/webp",
        /// PDF.
        Pdf = "application/pdf",
    }
}

words! {
    /// What was worked out for a build.
    WorkKind {
        /// The plan of its set.
        Plan = "plan",
        /// A sheet for a machine or the bench.
        Sheet = "sheet",
        /// A balancing.
        BalanceRun = "balance run",
    }
}
