//! A small reader of HTML tags: enough to see what a built page refers to, and what a strict policy would refuse.

/// One opening tag with its attributes, names in lower case.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tag {
    /// The element's name.
    pub name: String,
    /// Attribute names and values, in order; an attribute without a value has an empty one.
    pub attributes: Vec<(String, String)>,
}

impl Tag {
    /// The value of an attribute.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(key, _)| key == name).map(|(_, value)| value.as_str())
    }
}

/// All opening tags of a page. Comments are left out, and so is what stands inside scripts and style sheets.
pub fn tags(html: &str) -> Vec<Tag> {
    let mut tags = Vec::new();
    let mut rest = html;
    while let Some((_, after)) = rest.split_once('<') {
        rest = after;
        if let Some(comment) = rest.strip_prefix("!--") {
            rest = comment.split_once("-->").map_or("", |(_, after)| after);
        } else if rest.starts_with(|c: char| c.is_ascii_alphabetic()) {
            let (tag, after) = tag(rest);
            rest = after;
            if tag.name == "script" || tag.name == "style" {
                let end = format!("</{}", tag.name);
                rest = rest.to_ascii_lowercase().find(&end).and_then(|at| rest.get(at..)).unwrap_or("");
            }
            tags.push(tag);
        }
    }
    tags
}

/// Reads one tag from after its `<`; gives it with what follows its `>`.
fn tag(text: &str) -> (Tag, &str) {
    let name_ends = |c: char| c.is_whitespace() || c == '>' || c == '/';
    let (name, mut rest) = text.split_at(text.find(name_ends).unwrap_or(text.len()));
    let mut attributes = Vec::new();
    loop {
        rest = rest.trim_start_matches(|c: char| c.is_whitespace() || c == '/');
        if let Some(after) = rest.strip_prefix('>') {
            rest = after;
            break;
        }
        if rest.is_empty() {
            break;
        }
        let key_ends = |c: char| c.is_whitespace() || c == '=' || c == '>' || c == '/';
        let key_end = match rest.find(key_ends) {
            Some(0) => 1, // a stray `=`, the only such character left here: taken as a name, so that reading goes on
            Some(at) => at,
            None => rest.len(),
        };
        let (key, after) = rest.split_at(key_end);
        rest = after;
        let mut value = "";
        if let Some(after) = rest.trim_start().strip_prefix('=') {
            let after = after.trim_start();
            let quote = after.chars().next().filter(|c| *c == '"' || *c == '\'');
            (value, rest) = match quote {
                Some(quote) => after.get(1..).and_then(|inner| inner.split_once(quote)).unwrap_or((after, "")),
                None => after.split_at(after.find(|c: char| c.is_whitespace() || c == '>').unwrap_or(after.len())),
            };
        }
        attributes.push((key.to_ascii_lowercase(), value.to_owned()));
    }
    (Tag { name: name.to_ascii_lowercase(), attributes }, rest)
}

/// The content-security policy that a page carries in its head.
pub fn policy(tags: &[Tag]) -> Option<&str> {
    let is_policy = |tag: &&Tag| {
        let header = tag.get("http-equiv").unwrap_or("");
        tag.name == "meta" && header.eq_ignore_ascii_case("content-security-policy")
    };
    tags.iter().find(is_policy)?.get("content")
}

/// What in a page a strict policy would refuse: scripts and styles written into the page itself.
pub fn inline_code(tags: &[Tag]) -> Vec<String> {
    let mut found = Vec::new();
    for tag in tags {
        if tag.name == "style" || (tag.name == "script" && tag.get("src").is_none()) {
            found.push(format!("<{}>", tag.name));
        }
        for (key, _) in &tag.attributes {
            if key == "style" || (key.starts_with("on") && key.len() > 2) {
                found.push(format!("<{} {key}=...>", tag.name));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_every_way_of_writing_an_attribute() {
        let page = "<!DOCTYPE html><html lang=en><LINK REL='icon' href = \"a b.png\" crossorigin><br/><p>1 < 2</p>";
        let tags = tags(page);
        let names: Vec<&str> = tags.iter().map(|tag| tag.name.as_str()).collect();
        assert_eq!(names, ["html", "link", "br", "p"]);
        assert_eq!(tags[0].get("lang"), Some("en"));
        assert_eq!(tags[1].get("rel"), Some("icon"));
        assert_eq!(tags[1].get("href"), Some("a b.png"));
        assert_eq!(tags[1].get("crossorigin"), Some(""));
        assert_eq!(tags[1].get("type"), None);
    }

    #[test]
    fn looks_into_neither_comments_nor_scripts() {
        let page = "<!-- <link> --><script>if (a <b) document.write('<p>')</SCRIPT><main></main>";
        let names: Vec<String> = tags(page).into_iter().map(|tag| tag.name).collect();
        assert_eq!(names, ["script", "main"]);
    }

    #[test]
    fn survives_a_page_cut_short() {
        for page in ["<", "<a", "<a href", "<a href=", "<a href=\"x", "<!--", "<script>", "<a =>", "<a \"\">"] {
            let _ = tags(page);
        }
    }

    #[test]
    fn finds_the_policy() {
        let page = "<meta charset=utf-8><meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'\">";
        assert_eq!(policy(&tags(page)), Some("default-src 'none'"));
        assert_eq!(policy(&tags("<meta charset=utf-8>")), None);
    }

    #[test]
    fn sees_code_written_into_the_page() {
        let clean = "<script type=module src=./boot.js></script><link rel=stylesheet href=a.css><p class=on>";
        assert!(inline_code(&tags(clean)).is_empty());
        let bad = "<style></style><script>1</script><p style='color:red' onclick=go()>";
        let expected = ["<style>", "<script>", "<p style=...>", "<p onclick=...>"];
        assert_eq!(inline_code(&tags(bad)), expected);
    }
}
