"""A page taken apart: its elements, and the words it shows."""

from html.parser import HTMLParser

VOID = {"meta", "link", "br", "img", "input", "hr", "path", "rect", "circle"}


class Reader(HTMLParser):
    """Elements with their attributes, and text by the elements that hold it."""

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.open, self.elements, self.pieces = [], [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        if tag not in VOID:
            opened = self.open.pop()
            assert opened[0] == tag, f"{opened} is closed by {tag}"

    def handle_data(self, data):
        self.pieces.append((tuple(item[0] for item in self.open), self.open[-1] if self.open else None, data))

    def of(self, tag, css=None):
        return [
            a for t, a in self.elements if t == tag and (css is None or css in (a.get("class") or "").split())
        ]

    def text(self, tag=None, css=None):
        return [
            data.strip()
            for path, last, data in self.pieces
            if data.strip()
            and (tag is None or tag in path)
            and (css is None or (last[1].get("class") or "") == css)
        ]

    @property
    def shown(self):
        hidden = {"script", "style", "head"}
        return " ".join(" ".join(data for path, _, data in self.pieces if not hidden & set(path)).split())
