"""The assemblies that stand above something, for the line that says where a page belongs."""

from django import template

from builds.queries.plan.assemblies import assemblies_above

register = template.Library()
register.simple_tag(assemblies_above)
