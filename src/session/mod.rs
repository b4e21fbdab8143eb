//! What a person's work needs beside the sums: routes, undo, the envelope of saved work, files in and out. Nothing here knows a browser.

pub mod bin;
pub mod code;
pub mod csv;
pub mod everything;
pub mod guest;
pub mod history;
pub mod inputs;
pub mod keys;
pub mod label;
pub mod link;
pub mod qr;
pub mod route;
pub mod saved;
pub mod staff;
pub mod stations;
pub mod work;

pub use history::History;
pub use route::Route;
pub use saved::{Decoded, Saved};
pub use work::{Paper, Val, Work};
