"""The page of rules: each with where it comes from, and whether we read it there."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Matrix, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import facts, table
from kitdocs.handbook.rules.documents import DOCUMENTS
from kitdocs.handbook.rules.quote import RULES, rule_text
from kitdocs.handbook.rules.rule import Rule


def care(brief: Brief) -> Card:
    """Return the rules of the practice, topic by topic, with their sources."""
    words = brief.words
    documents = facts(*DOCUMENTS.items(), title=words("rules.care.documents"))
    return Card(
        id="care",
        kind="care",
        form="page",
        title=words("rules.care.title"),
        subtitle=words("rules.care.subtitle"),
        section=words("card.section.audit"),
        front=(said(words("rules.care.intro")), *_topics(brief), documents),
    )


def source_text(brief: Brief, rule: Rule) -> str:
    """Return where a rule comes from: ``CDC 2003, VI.F.3 (read)``; a practice's own rule has no other source."""
    if f"rules.{rule.id}" in brief.practice.words.get(brief.language, {}):
        return brief.words("rules.care.own")
    cited = (
        f"{source.document}, {source.passage} ({brief.words(f'rules.care.how.{source.how}')})"
        for source in rule.sources
    )
    return "; ".join(cited) or brief.words("rules.care.none")


def _topics(brief: Brief) -> Iterator[Matrix]:
    head = (brief.words("rules.care.rule"), brief.words("rules.care.source"))
    topics = dict.fromkeys(rule.topic for rule in RULES.values())
    for topic in topics:
        rules = [rule for rule in RULES.values() if rule.topic == topic and rule.applies(brief.practice)]
        rows = ((rule_text(brief, rule.id), source_text(brief, rule)) for rule in rules)
        yield table(brief.words(f"rules.care.topic.{topic}"), head, rows)
