from django.contrib import admin
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LogoutView
from django.urls import URLPattern, URLResolver, include, path
from django.views.generic import RedirectView

from builds.permissions import onlookers_may
from builds.views import board, device, rates, tables, take_in
from builds.views.forecast import forecast, holds, ready, replay, tonight
from builds.views.log import bench, catch_up, clock, entry_photos, events, logbook, reading
from builds.views.plan import (
    builds,
    copying,
    needs,
    parts,
    parts_list,
    photos,
    records,
    route_card,
    sheets,
    visitors,
    waiting,
    work_out,
)
from builds.views.repeats import batches, blanks, overview, part_yield, shop_counter
from builds.views.shop import account, backups, items, people, to_buy
from builds.views.shop import visitors as shop_visitors

build_pages = [
    path("", builds.build_page, name="page"),
    path("edit/", builds.edit_build, name="edit"),
    path("record.json", builds.download_record, name="record"),
    path("tables/<str:name>", tables.download_table, name="table"),
    path("bench/", bench.bench_page, name="bench"),
    path("tonight/", tonight.tonight_page, name="tonight"),
    path("bench/evening/", bench.log_evening, name="log_evening"),
    path("bench/evening/left/", bench.left_after, name="left_after"),
    path("bench/find/", bench.find_work, name="find_work"),
    path("bench/catch-up/", catch_up.catch_up, name="catch_up"),
    path("bench/clock/on/", clock.clock_on, name="clock_on"),
    path("bench/clock/start/", clock.clock_start, name="clock_start"),
    path("bench/clock/off/", clock.clock_off, name="clock_off"),
    path("bench/clock/discard/", clock.discard_clock, name="discard_clock"),
    path("bench/clock/put-back/", clock.put_back_clock, name="put_back_clock"),
    path("log/", logbook.log_page, name="log"),
    path("log/take-in/", take_in.take_in, {"kind": "log"}, name="take_in_log"),
    path("log/<int:pk>/amend/", logbook.amend, name="amend"),
    path("log/<int:pk>/photos/", entry_photos.entry_photos, name="entry_photos"),
    path("log/<int:pk>/remove/", logbook.remove, name="remove_entry"),
    path("forecast/", forecast.forecast_page, name="forecast"),
    path("outlook/", RedirectView.as_view(pattern_name="builds:forecast")),  # the page's address before
    path("rates/", rates.rates_page, name="rates"),
    path("rates/use/", rates.apply_rates, name="apply_rates"),
    path("holds/", holds.holds_page, name="holds"),
    path("ready/", ready.ready_page, name="ready"),
    path("replay/", replay.replay_page, name="replay"),
    path("repeats/", overview.repeats_page, name="repeats"),
    path("repeats/<int:pk>/", overview.yield_table, name="yield_table"),
    path("events/", events.events_page, name="events"),
    path("events/<int:pk>/undo/", events.undo, name="undo"),
    path("visitors/", visitors.visitors_page, name="visitors"),
    path("to-buy/", to_buy.to_buy_page, name="to_buy"),
    path("photos/", photos.photos_page, name="photos"),
    path("photos/<int:pk>/visitors/", photos.show_to_visitors, name="show_photo"),
    path("photos/<int:pk>/remove/", photos.remove, name="remove_photo"),
    path("parts/take-in/", take_in.take_in, {"kind": "parts"}, name="take_in_parts"),
    path("parts/", parts_list.parts_list, name="parts"),
    path("parts/order/", parts_list.set_order, name="set_order"),
    path("parts/new/", parts.new_part, name="new_part"),
    path("parts/<int:pk>/", parts.part_page, name="part"),
    path("parts/<int:pk>/worksheet/", parts.worksheet_page, name="worksheet"),
    path("parts/<int:pk>/card/", route_card.card_page, name="route_card"),
    path("parts/<int:pk>/copy/", copying.copy_page, name="copy_part"),
    path("parts/<int:pk>/edit/", parts.edit_part, name="edit_part"),
    path("parts/<int:pk>/remove/", parts.remove_part, name="remove_part"),
    path("parts/<int:pk>/role/", parts.set_role, name="set_role"),
    path("waiting/", waiting.waiting_page, name="waiting"),
    path("parts/<int:pk>/needs/", needs.needs_page, name="needs"),
    path("needs/<int:pk>/remove/", needs.remove_need, name="remove_need"),
    path("parts/<int:pk>/yield/", part_yield.yield_page, name="part_yield"),
    path("parts/<int:pk>/blanks/", blanks.blanks_page, name="blanks"),
    path("parts/<int:pk>/batches/new/", batches.start_batch, name="start_batch"),
    path("batches/<int:pk>/grid/", batches.batch_grid, name="batch_grid"),
    path("batches/<int:pk>/grid/log/", batches.log_batch, name="log_batch"),
    path("counter/", shop_counter.counter_page, name="shop_counter"),
    path("parts/<int:pk>/operations/new/", parts.new_operation, name="new_operation"),
    path("operations/<int:pk>/work-out/", work_out.work_out, name="work_out"),
    path("operations/<int:pk>/edit/", parts.edit_operation, name="edit_operation"),
    path("operations/<int:pk>/move/", parts.move_operation, name="move_operation"),
    path("operations/<int:pk>/remove/", parts.remove_operation, name="remove_operation"),
    path("sheets/<int:pk>/", sheets.sheet_view, name="sheet"),
    path("sheets/<int:pk>/scans/", sheets.scans_page, name="scans"),
    path("scans/<int:pk>/edit/", sheets.edit_scan, name="edit_scan"),
    path("scans/<int:pk>/remove/", sheets.remove_scan, name="remove_scan"),
    path("scans/<int:pk>/file/", sheets.scan_file, name="scan_file"),
    path("scans/<int:pk>/pages/<int:page>/<str:size>/", sheets.page_picture, name="page_picture"),
    path("<str:kind>/", records.records_page, name="records"),
    path("<str:kind>/<int:pk>/edit/", records.edit_record, name="edit_record"),
    path("<str:kind>/<int:pk>/remove/", records.remove_record, name="remove_record"),
]

pages: list[URLPattern | URLResolver] = [
    path("", builds.builds_list, name="list"),
    path("bench/", device.bench_at_hand, name="bench_at_hand"),
    path("builds/new/", builds.new_build, name="new"),
    path("builds/<slug:slug>/", include(build_pages)),
    path("board/<slug:slug>/", board.board_page, name="board"),
    path("board/<slug:slug>/photos/<int:pk>/", board.board_photo, name="board_photo"),
    path("shop/people/", people.people_page, name="people"),
    path("shop/people/<int:pk>/", people.edit_person, name="edit_person"),
    path("shop/people/<int:pk>/sign-out/", people.sign_out_person, name="sign_out_person"),
    path("shop/events/", people.shop_events, name="shop_events"),
    path("shop/backups/", backups.backups_page, name="backups"),
    path("shop/visitors/", shop_visitors.shop_visitors, name="shop_visitors"),
    path("shop/<str:kind>/", items.shop_page, name="shop"),
    path("shop/<str:kind>/<int:pk>/edit/", items.edit_item, name="edit_item"),
    path("shop/<str:kind>/<int:pk>/remove/", items.remove_item, name="remove_item"),
    path("shop/<str:kind>/<int:pk>/put-back/", items.put_back_item, name="put_back_item"),
    path("read/time/", reading.read_time, name="read_time"),
]

handler404 = "builds.views.gone.page_not_found"
handler500 = "builds.views.broken.server_error"

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include((pages, "builds"))),
    path("arithmetic/", include("builds.arithmetic.urls")),
    path("app.webmanifest", device.manifest, name="manifest"),
    path("worker.js", device.worker, name="worker"),
    path("kept-pages/", device.kept_pages, name="kept_pages"),
    path("theme/", account.set_theme, name="set_theme"),
    path("sign-in/", account.SignInView.as_view(), name="sign_in"),
    path("sign-out/", onlookers_may(LogoutView.as_view()), name="sign_out"),
    path("sign-out/everywhere/", account.sign_out_myself, name="sign_out_everywhere"),
    path("password/", account.change_password, name="change_password"),
    path("welcome/", account.welcome, name="welcome"),
    path("admin/login/", login_not_required(account.to_sign_in)),
    path("admin/", admin.site.urls),
    path("photos/<path:path>", photos.photo_file, name="photo_file"),
]
