"""Does the field sheet of a rig fit one page of A4?"""

import re
from bisect import bisect_left
from dataclasses import replace

import pytest
import zxingcpp
from pypdfium2 import PdfDocument

from calculators.rig.graph import evaluate_rig
from calculators.rig.links import make_rig_link
from calculators.rig.model import Rig
from calculators.rig.sheet_file import write_pdf
from calculators.rig.sheet_page import sheet_html
from calculators.rig.sheets import make_sheet
from calculators.square_code import fits
from tests.rig.made import whole_rig

PAGE = re.compile(rb"/Type\s*/Page\b")


def field_sheet(rig, system):
    return sheet_html(make_sheet("field", rig, evaluate_rig(rig), system))


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("rig", [whole_rig(), Rig("A name as long as a name may be: " + "m" * 47)])
def test_the_field_sheet_is_one_page(browser, rig, system):
    """A whole rig, and one that states nothing: every line is a blank then."""
    page = browser.new_page()
    page.set_content(field_sheet(rig, system))
    printed = page.pdf(prefer_css_page_size=True)
    page.close()
    assert len(PAGE.findall(printed)) == 1


def test_a_pdf_is_written_as_the_command_line_writes_it(tmp_path):
    target = tmp_path / "field.pdf"
    write_pdf(field_sheet(whole_rig(), "metric"), target)
    assert target.read_bytes().startswith(b"%PDF")
    assert len(PAGE.findall(target.read_bytes())) == 1


def test_the_code_is_on_the_back(browser):
    """The page at the water is full; the code of a whole rig is half a page by itself."""
    link = f"https://example.org/rig/{make_rig_link(whole_rig()).text}"
    sheet = make_sheet("field", whole_rig(), evaluate_rig(whole_rig()), "metric", link)
    page = browser.new_page()
    page.set_content(sheet_html(sheet))
    assert page.locator("svg.square-code path").count() == 1
    printed = page.pdf(prefer_css_page_size=True)
    page.close()
    assert len(PAGE.findall(printed)) == 2


def longest_link():
    """The longest that a code can hold: every entry, and a note that fills what is left."""

    def link(signs):
        rig = replace(whole_rig(), note="n" * signs)
        return f"https://example.org/rig/{make_rig_link(rig).text}"

    too_long = bisect_left(range(2000), True, key=lambda signs: not fits(link(signs)))
    return link(too_long - 1)


def test_the_largest_code_is_read_off_the_paper_by_another_program(browser):
    """Printed, rastered at 150 dots an inch, and decoded: the whole link, to the last sign."""
    link = longest_link()
    sheet = make_sheet("field", whole_rig(), evaluate_rig(whole_rig()), "metric", link)
    page = browser.new_page()
    page.set_content(sheet_html(sheet))
    printed = page.pdf(prefer_css_page_size=True)
    page.close()
    back = PdfDocument(printed)[1].render(scale=150 / 72, grayscale=True)
    (code,) = zxingcpp.read_barcodes(back.to_numpy())
    assert code.text == link
