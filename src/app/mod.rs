//! The browser part: the only one that knows a page.
