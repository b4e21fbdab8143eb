//! What the calculators of pumps, siphons and sumps share: a pipe from the catalogue or typed, its bends, its losses.

use super::form::*;
use crate::catalog::pipes::{PIPES, Pipe};
