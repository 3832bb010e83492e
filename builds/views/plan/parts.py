"""One part, with its route edited in place."""

from django.contrib import messages
from django.forms import ModelForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from builds.charts.repeats.yields import yield_by_operation
from builds.forms.plan import NewPartForm, PartForm
from builds.forms.route import FirstOperationForm, OperationForm
from builds.language import spoken_to_visitors
from builds.models import Entry, Operation, Part
from builds.models.choices import Kind
from builds.permissions import for_builders, the_build, the_builder
from builds.queries.plan.build_page import part_page as read_part_page
from builds.queries.plan.titleblock import part_block
from builds.queries.plan.worksheet import LEVELS
from builds.queries.plan.worksheet import sums_sheet as read_sums
from builds.queries.repeats.overview import is_repeated, repeated_part
from builds.services.plan import records as plan_services
from builds.services.plan.split import rough_making
from builds.views.plan.builds import beside_context
from builds.views.put_back import say_removed
from builds.views.refusals import refusals_beside, refusals_on_top
from calcs.messages import _


def the_part(slug: str, pk: int) -> Part:
    return get_object_or_404(Part.objects.select_related("build"), build__slug=slug, pk=pk)


def the_operation(slug: str, pk: int) -> Operation:
    return get_object_or_404(
        Operation.objects.select_related("part__build", "part__material", "machine"), part__build__slug=slug, pk=pk
    )


@for_builders
def new_part(request: HttpRequest, slug: str) -> HttpResponse:
    build = the_build(slug)
    first = not build.parts.exists()
    new_shop = first and not Entry.objects.exists()
    form = NewPartForm(
        request.POST or None, build=build, instance=Part(build=build), initial={"assembly": request.GET.get("assembly")}
    )
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            part = plan_services.add_part(
                part=form.save(commit=False),
                rough_minutes=form.cleaned_data["rough"],
                by=the_builder(request),
                today=timezone.localdate(),
            )
            return _after_adding(request, part, new_shop)
    context = {"build": build, "form": form, "title": _("Add a part"), "doing": _("Add this part")}
    context |= {"another": True, "here": "plan", "step": 3 if new_shop else None}
    context["speaks_of"] = "detail jig work-on-an-assembly"
    if first:
        context |= {"title": _("The first part"), "instead": _instead_of_the_first(slug)}
        context["words"] = _("Any part of the first drawing sheet. A rough time, or none, is enough to begin with.")
    return render(request, "plan/record_form.html", context, status=422 if form.errors else 200)


def _instead_of_the_first(slug: str) -> list[tuple[str, str]]:
    """What leads on from a build without parts, beside its first one."""
    take_in = reverse("builds:take_in_parts", args=[slug]), _("Take a parts list in")
    return [take_in, (reverse("builds:page", args=[slug]), _("Not now: to the plan"))]


def _after_adding(request: HttpRequest, part: Part, new_shop: bool) -> HttpResponse:
    """The next part, the part itself, or, where nobody has logged anything yet, the bench with that part chosen."""
    slug = part.build.slug
    if "another" in request.POST:
        messages.success(request, _("{part} is in the plan.", part=part))
        return redirect(f"{request.path}?assembly={part.assembly_id or ''}")
    if not new_shop:
        return redirect("builds:part", slug, part.pk)
    messages.success(request, _("{part} is in the plan. Step 4 of 4: log the first evening at the bench.", part=part))
    return redirect(f"{reverse('builds:bench', args=[slug])}?part={part.pk}")


def part_page(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    part = the_part(slug, pk)
    if request.htmx.target == "beside":  # type: ignore[attr-defined]
        return _beside(request, part)
    return _page(request, part)


def _beside(request: HttpRequest, part: Part) -> HttpResponse:
    """The part at a glance, for the plan; the address is then the plan's with this part chosen."""
    response = render(request, "plan/beside.html", beside_context(part.build, part.pk))
    response.headers["HX-Push-Url"] = f"{reverse('builds:page', args=[part.build.slug])}?part={part.pk}"
    return response


@for_builders
def edit_part(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    part = the_part(slug, pk)
    form = PartForm(request.POST or None, build=part.build, instance=part)
    if request.method == "POST" and form.is_valid() and _saved(request, form):
        return redirect("builds:part", slug, pk)
    # What it is called, whatever the form has made of it.
    kept = the_part(slug, pk)
    title = _("Part {part}", part=kept)
    context = {"build": part.build, "form": form, "title": title, "doing": _("Save"), "here": "plan"}
    context |= {"part": kept, "crumb": _("Edit")}
    context |= {"remove_to": reverse("builds:remove_part", args=[slug, pk]), "record": part}
    return render(request, "plan/record_form.html", context, status=422 if form.errors else 200)


@require_POST
def set_role(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Say what a part is, with one press on the plan. What is chosen there settles the offer, a detail as well."""
    part = the_part(slug, pk)
    with refusals_on_top(request):
        part.role = request.POST.get("role", "")
        plan_services.save(record=part, by=the_builder(request))
        messages.success(request, _("{part}: {role}.", part=part, role=part.counts_as.label))
    return redirect("builds:page", slug)


@spoken_to_visitors
def worksheet_page(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """Sums for beginners at one of three levels, from this part's numbers; the answers on pages of their own."""
    part = the_part(slug, pk)
    asked = request.GET.get("level", "")
    level = next((one for one in LEVELS if str(one) == asked), 1)
    sheet = read_sums(part, timezone.localdate(), level)
    context = {"build": part.build, "part": part, "sheet": sheet, "answers": "answers" in request.GET, "here": "plan"}
    context |= {"levels": {number: _(words) for number, words in LEVELS.items()}, "address": f"level={level}"}
    return render(request, "plan/worksheet.html", context)


@require_POST
def remove_part(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    part = the_part(slug, pk)
    with refusals_on_top(request):
        event = plan_services.remove(record=part, by=the_builder(request))
        say_removed(request, _("{part} is out of the plan.", part=part), event)
        return redirect("builds:page", slug)
    return redirect("builds:part", slug, pk)


@for_builders
def new_operation(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    """The form for one more operation, and what it brings."""
    part = the_part(slug, pk)
    form = _form_of_new(request, part)
    if request.method == "POST" and form.is_valid():
        with refusals_beside(form):
            plan_services.add_operation(
                operation=form.save(commit=False),
                by=the_builder(request),
                today=timezone.localdate(),
                instead_of=form.replaced,
            )
            return _after(request, part, form.instance)
    return _page(request, part, form=form, adding=True)


def _form_of_new(request: HttpRequest, part: Part) -> OperationForm:
    """Where all of the part's work is one rough "making", the form asks what becomes of it."""
    new, making = Operation(part=part, kind=Kind.TURNING), rough_making(part)
    if making is None:
        return OperationForm(request.POST or None, instance=new)
    return FirstOperationForm(request.POST or None, instance=new, making=making)


@for_builders
def edit_operation(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    operation = the_operation(slug, pk)
    part = the_part(slug, operation.part_id)
    form = OperationForm(request.POST or None, instance=operation)
    if request.method == "POST" and form.is_valid() and _saved(request, form):
        return _after(request, part, operation)
    return _page(request, part, form=form, editing=operation.pk)


@require_POST
def move_operation(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    operation = the_operation(slug, pk)
    with refusals_on_top(request):
        plan_services.move_operation(
            operation=operation, earlier=request.POST.get("way") == "earlier", by=the_builder(request)
        )
    return _after(request, operation.part)


@require_POST
def remove_operation(request: HttpRequest, slug: str, pk: int) -> HttpResponse:
    operation = the_operation(slug, pk)
    with refusals_on_top(request):
        words = _("{operation} is out of the route.", operation=operation)
        say_removed(request, words, plan_services.remove(record=operation, by=the_builder(request)))
    return _after(request, operation.part)


def _saved(request: HttpRequest, form: ModelForm) -> bool:
    """Save through the service; a refusal goes beside its field."""
    with refusals_beside(form):
        plan_services.save(record=form.save(commit=False), by=the_builder(request), seen=form.cleaned_data.get("seen"))
        return True
    return False


def _after(request: HttpRequest, part: Part, changed: Operation | None = None) -> HttpResponse:
    """After a change to the route: all that follows from it for htmx, the part's page for everybody else.

    Whoever has filled in a form goes on at the operation that came of it.
    """
    if request.htmx:  # type: ignore[attr-defined]
        return _page(request, the_part(part.build.slug, part.pk), changed=changed)
    return redirect("builds:part", part.build.slug, part.pk)


def _page(
    request: HttpRequest,
    part: Part,
    *,
    form: OperationForm | None = None,
    editing: int = 0,
    adding: bool = False,
    changed: Operation | None = None,
) -> HttpResponse:
    if form is not None and not form.is_bound:
        next(iter(form.fields.values())).widget.attrs["autofocus"] = True
    page = read_part_page(part, timezone.localdate())
    repeated = repeated_part(page.snapshot, page.line) if is_repeated(page.line) else None
    context = {
        "build": part.build,
        "part": page.line.part,
        "page": page,
        "titleblock": part_block(page.line),
        "form": form,
        "editing": editing,
        "adding": adding,
        "changed": changed and changed.pk,
        "repeated": repeated,
        "chart": yield_by_operation(repeated) if repeated is not None and repeated.counted else None,
        "here": "plan",
    }
    template = "plan/part.html#rest" if request.htmx else "plan/part.html"  # type: ignore[attr-defined]
    return render(request, template, context, status=422 if form is not None and form.errors else 200)
