"""The list of tables: each once, under the words a reader finds above it."""

from site_src.table_list import html, tables_of

PAGE = """
<h1 id="frogs">Frogs <em>and</em> toads<a class="headerlink" href="#frogs">¶</a></h1>
<table><tr><td>1</td></tr></table>
<table><tr><td>2</td></tr></table>
<h2 id="ice">Ice &amp; snow</h2><p>No table here.</p>
<h2 id="sand">Sand</h2>
<div class="material" id="table-sand">
<table>
<caption>Sand and <i>mud</i></caption></table></div>
"""


def test_a_table_is_named_by_its_caption_or_else_by_the_heading_above_it():
    assert tables_of(PAGE) == [("frogs", "Frogs and toads"), ("table-sand", "Sand and mud")]


def test_a_table_above_every_heading_has_no_place_to_link_to():
    assert tables_of("<table></table>") == []


def test_pages_without_tables_and_pages_made_from_code_are_left_out():
    listed = html(
        [
            ("Empty", "plan/empty/", []),
            ("Ledger", "reference/ledger/", [("a", "A")]),
            ("Sand & sea", "deploy/sand/", [("sand", "Sand < mud")]),
        ]
    )
    assert listed == (
        '<dl class="table-list"><dt>Sand &amp; sea</dt><dd><ul><li>'
        '<a href="../../deploy/sand/#sand">Sand &lt; mud</a></li></ul></dd></dl>'
    )
