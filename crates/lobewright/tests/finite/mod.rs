//! Looks at what would be written as JSON before it is: the writer turns a number that is none
//! into `null`, which reads like a figure that was left out on purpose. This walk tells the two
//! apart.

use serde::ser::{
    Error as _, Serialize, SerializeMap, SerializeSeq, SerializeStruct, SerializeStructVariant,
    SerializeTuple, SerializeTupleStruct, SerializeTupleVariant, Serializer,
};
use std::fmt;

/// Says where a number is not finite, if one is.
pub(crate) fn not_finite(value: &impl Serialize) -> Option<String> {
    value.serialize(Walk).err().map(|at| at.0)
}

/// The keys that lead to a number that is none, the innermost first.
#[derive(Debug)]
pub(crate) struct At(String);

impl fmt::Display for At {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for At {}

impl serde::ser::Error for At {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self(message.to_string())
    }
}

fn under<T>(result: Result<T, At>, key: &str) -> Result<T, At> {
    result.map_err(|at| At(format!("{} in {key}", at.0)))
}

#[derive(Clone, Copy)]
struct Walk;

macro_rules! fine {
    ($($method:ident: $type:ty),+) => {
        $(fn $method(self, _: $type) -> Result<(), At> { Ok(()) })+
    };
}

impl Serializer for Walk {
    type Ok = ();
    type Error = At;
    type SerializeSeq = Self;
    type SerializeTuple = Self;
    type SerializeTupleStruct = Self;
    type SerializeTupleVariant = Self;
    type SerializeMap = Self;
    type SerializeStruct = Self;
    type SerializeStructVariant = Self;

    fine!(serialize_bool: bool, serialize_i8: i8, serialize_i16: i16, serialize_i32: i32,
        serialize_i64: i64, serialize_u8: u8, serialize_u16: u16, serialize_u32: u32,
        serialize_u64: u64, serialize_char: char, serialize_str: &str, serialize_bytes: &[u8]);

    fn serialize_f32(self, value: f32) -> Result<(), At> {
        self.serialize_f64(f64::from(value))
    }

    fn serialize_f64(self, value: f64) -> Result<(), At> {
        if value.is_finite() { Ok(()) } else { Err(At::custom(value)) }
    }

    fn serialize_none(self) -> Result<(), At> {
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), At> {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), At> {
        Ok(())
    }

    fn serialize_unit_struct(self, _: &'static str) -> Result<(), At> {
        Ok(())
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, _: &'static str) -> Result<(), At> {
        Ok(())
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Result<(), At> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<(), At> {
        under(value.serialize(self), variant)
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Self, At> {
        Ok(self)
    }

    fn serialize_tuple(self, _: usize) -> Result<Self, At> {
        Ok(self)
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Self, At> {
        Ok(self)
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self, At> {
        Ok(self)
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Self, At> {
        Ok(self)
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Self, At> {
        Ok(self)
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self, At> {
        Ok(self)
    }
}

macro_rules! items {
    ($($of:ident: $method:ident),+) => {
        $(impl $of for Walk {
            type Ok = ();
            type Error = At;
            fn $method<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), At> {
                value.serialize(*self)
            }
            fn end(self) -> Result<(), At> {
                Ok(())
            }
        })+
    };
}

items!(SerializeSeq: serialize_element, SerializeTuple: serialize_element,
    SerializeTupleStruct: serialize_field, SerializeTupleVariant: serialize_field);

macro_rules! fields {
    ($($of:ident),+) => {
        $(impl $of for Walk {
            type Ok = ();
            type Error = At;
            fn serialize_field<T: Serialize + ?Sized>(
                &mut self,
                key: &'static str,
                value: &T,
            ) -> Result<(), At> {
                under(value.serialize(*self), key)
            }
            fn end(self) -> Result<(), At> {
                Ok(())
            }
        })+
    };
}

fields!(SerializeStruct, SerializeStructVariant);

impl SerializeMap for Walk {
    type Ok = ();
    type Error = At;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), At> {
        key.serialize(*self)
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), At> {
        value.serialize(*self)
    }

    fn end(self) -> Result<(), At> {
        Ok(())
    }
}

/// The walk itself must be able to fail.
#[test]
fn a_number_that_is_none_is_found_where_it_is() {
    use std::collections::BTreeMap;
    let list = |value: f64| BTreeMap::from([("a", Some([1.0, value]))]);
    assert_eq!(not_finite(&list(2.0)), None);
    assert_eq!(not_finite(&list(f64::NAN)).as_deref(), Some("NaN"));
    assert_eq!(not_finite(&list(f64::NEG_INFINITY)).as_deref(), Some("-inf"));
    assert_eq!(not_finite(&BTreeMap::from([("a", None::<f64>)])), None);
}
