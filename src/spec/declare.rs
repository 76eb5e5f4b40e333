//! `section!` and `choice!`: from one declaration the struct, its reader and its rows. The language is written in them.

/// Declares a group of keys: see `language`.
macro_rules! section {
    (
        $(#[doc = $doc:literal])*
        $(#[bare($bare:ident)])?
        pub struct $name:ident {
            $(
                $(#[doc = $key_doc:literal])*
                $(#[flat $($flat:ident)?])?
                pub $field:ident : $type:ty,
            )*
        }
    ) => {
        $(#[doc = $doc])*
        #[derive(Clone, Debug, Default, PartialEq)]
        pub struct $name {
            $( $(#[doc = $key_doc])* pub $field: $type, )*
            /// The group as a whole: the key before it, or its first line.
            pub place: $crate::diagnose::Place,
            /// Where each key stands.
            pub keys: $crate::spec::read::KeyPlaces,
        }

        impl $crate::spec::read::Read for $name {
            const KIND: $crate::spec::read::Kind =
                $crate::spec::read::Kind::Section(<$name as $crate::spec::read::Section>::ROW);
            fn read(
                node: &$crate::spec::node::Node,
                what: &str,
                faults: &mut $crate::diagnose::Faults,
            ) -> Option<Self> {
                $crate::spec::read::read_section(node, what, faults)
            }
        }

        impl $crate::spec::read::Section for $name {
            const ROW: &'static $crate::spec::read::SectionRow = &$crate::spec::read::SectionRow {
                name: stringify!($name),
                doc: concat!($($doc, "\n"),*),
                bare: $crate::spec::declare::section!(@bare $($bare)?),
                rows: &[$(
                    $crate::spec::read::KeyRow {
                        key: $crate::spec::read::typed_key(stringify!($field)),
                        doc: concat!($($key_doc, "\n"),*),
                        kind: <$type as $crate::spec::read::Field>::KIND,
                        required: <$type as $crate::spec::read::Field>::REQUIRED,
                        flat: $crate::spec::declare::section!(@is_flat $( $($flat)? flat )?),
                    },
                )*],
            };

            fn read_keys(
                group: &$crate::spec::node::Node,
                what: &str,
                faults: &mut $crate::diagnose::Faults,
            ) -> Option<Self> {
                $crate::spec::read::missing_keys(group, what, Self::ROW, faults);
                $(
                    let $field = $crate::spec::declare::section!(
                        @read group, what, faults, $field, $type, $( $($flat)? flat )?
                    );
                )*
                Some($name {
                    $( $field: $field?, )*
                    place: group.place,
                    keys: $crate::spec::read::key_places(group),
                })
            }
        }

        impl $crate::spec::read::Several for $name {
            const KIND: $crate::spec::read::Kind =
                $crate::spec::read::Kind::List(&<$name as $crate::spec::read::Read>::KIND);
            fn read_all(
                node: &$crate::spec::node::Node,
                key: &str,
                faults: &mut $crate::diagnose::Faults,
            ) -> Vec<Self> {
                $crate::spec::read::read_list(node, key, faults)
            }
        }
    };
    (@bare) => { None };
    (@bare $bare:ident) => { Some(stringify!($bare)) };
    (@is_flat) => { false };
    (@is_flat flat) => { true };
    (@read $group:ident, $what:ident, $faults:ident, $field:ident, $type:ty,) => {
        <$type as $crate::spec::read::Field>::field(
            $group.get($crate::spec::read::typed_key(stringify!($field))),
            $crate::spec::read::typed_key(stringify!($field)),
            $faults,
        )
    };
    (@read $group:ident, $what:ident, $faults:ident, $field:ident, $type:ty, flat) => {
        <$type as $crate::spec::read::Section>::read_keys($group, $what, $faults)
    };
}

/// Declares a key's words to choose from: see `language`. The first is the type's default; no reader uses it.
macro_rules! choice {
    (
        $(#[doc = $doc:literal])*
        pub enum $name:ident { $( $variant:ident = $word:literal ),* $(,)? }
    ) => {
        $(#[doc = $doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[allow(missing_docs, reason = "the word says it")]
        pub enum $name { $( $variant ),* }

        impl $name {
            /// All of them, in order.
            pub const ALL: &'static [$name] = &[$( $name::$variant ),*];
            /// Their words, in the same order.
            pub const WORDS: &'static [&'static str] = &[$( $word ),*];

            /// The word that is typed.
            pub const fn word(self) -> &'static str {
                match self { $( $name::$variant => $word ),* }
            }
        }

        impl Default for $name {
            fn default() -> Self {
                Self::ALL[0]
            }
        }

        impl $crate::spec::read::Read for $name {
            const KIND: $crate::spec::read::Kind = $crate::spec::read::Kind::Choice($name::WORDS);
            fn read(
                node: &$crate::spec::node::Node,
                what: &str,
                faults: &mut $crate::diagnose::Faults,
            ) -> Option<Self> {
                $crate::spec::read::read_choice(node, what, Self::WORDS, Self::ALL, faults)
            }
        }
    };
}

pub(crate) use choice;
pub(crate) use section;
