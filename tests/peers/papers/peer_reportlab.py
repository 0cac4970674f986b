"""The fixed page by reportlab, fonts embedded."""
import io
import re
import sys
import time

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen import canvas

MM = 72 / 25.4


def attributes(tag):
    return dict(re.findall(r'(\w+)="([^"]*)"', tag))


def read_page(path):
    xml = open(path, encoding="utf-8").read()
    sizes = {}
    for tag in re.findall(r"<style [^>]*>", xml):
        a = attributes(tag)
        sizes[a["name"]] = float(a["size"])
    rules = []
    for tag in re.findall(r"<rule [^>]*>", xml):
        a = attributes(tag)
        rules.append([float(a[k]) * MM for k in ("x", "y", "w", "h", "line")])
    texts = []
    for tag, text in re.findall(r"(<text [^>]*>)([^<]*)</text>", xml):
        a = attributes(tag)
        size = sizes[a["style"]]
        texts.append((float(a["x"]) * MM, float(a["y"]) * MM + 0.716 * size, size, text.replace("&amp;", "&")))
    return rules, texts


def make(rules, texts, number):
    out = io.BytesIO()
    high = 148 * MM
    c = canvas.Canvas(out, pagesize=(210 * MM, high))
    for x, y, w, h, line in rules:
        c.setLineWidth(line)
        c.line(x, high - y, x + w, high - y - h)
    for x, y, size, text in texts:
        c.setFont("Text", size)
        c.drawString(x, high - y, text.replace("{reference}", number))
    c.save()
    return len(out.getvalue())


def main():
    pdfmetrics.registerFont(TTFont("Text", sys.argv[2]))
    rules, texts = read_page(sys.argv[1])
    count = 200
    size = make(rules, texts, "0")
    start = time.perf_counter()
    for i in range(count):
        size = make(rules, texts, str(i))
    seconds = time.perf_counter() - start
    print(f"{'reportlab':12} {count / seconds:.0f} a second  {size} bytes")


main()
