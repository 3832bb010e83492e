"""What is offered for an evening, in words."""

from django import template

from builds.queries.forecast import tonight_words

register = template.Library()

register.filter("offer_time", tonight_words.time_words)
register.filter("offer_why", tonight_words.why_line)
